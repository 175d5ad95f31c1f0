//! What is read as a picture, what is refused, and what is left of it.

use fairweather::imaging::{
    Kept, NotTaken, PHOTO_SIDE_MAX, PictureKind, Purpose, SENT_BYTES_MAX, keep, kind_of,
};
use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use proptest::prelude::*;

use crate::pictures::{bomb, halves, jpeg, latitude, looked_at, photo, png, signature, with_exif};

fn kept(bytes: &[u8]) -> Kept {
    keep(bytes, Purpose::Photo).expect("it is a picture")
}

fn refused(bytes: &[u8]) -> NotTaken {
    keep(bytes, Purpose::Photo).expect_err("it is none")
}

fn is_red(pixel: Rgb<u8>) -> bool {
    pixel.0[0] > 150 && pixel.0[2] < 100
}

#[test]
fn a_kind_is_told_by_content() {
    assert_eq!(kind_of(&photo(1)), Some(PictureKind::Jpeg));
    assert_eq!(kind_of(&signature()), Some(PictureKind::Png));
    for other in
        [&b"This is a note.jpg"[..], b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a"]
    {
        assert_eq!(kind_of(other), None);
        assert_eq!(refused(other), NotTaken::NotAPicture);
    }
    assert_eq!(refused(b""), NotTaken::Empty);
}

#[test]
fn a_picture_that_begins_well_and_is_no_picture_is_damaged() {
    assert_eq!(refused(b"\xff\xd8\xff\xe0 and then a letter"), NotTaken::Damaged);
    assert_eq!(refused(b"\x89PNG\r\n\x1a\n and then a letter"), NotTaken::Damaged);
}

#[test]
fn a_picture_that_was_cut_off_is_refused_wherever_it_was_cut() {
    let whole = with_exif(&jpeg(&halves(200, 100)), 6);
    let signed = signature();
    for share in 1..20 {
        let cut = &whole[..whole.len() * share / 20];
        assert_eq!(refused(cut), NotTaken::Damaged, "{share} of 20");
        let cut = &signed[..signed.len() * share / 20];
        assert_eq!(keep(cut, Purpose::Signature), Err(NotTaken::Damaged), "{share} of 20");
    }
    // Some cameras write more behind a picture's end.
    let mut longer = whole;
    longer.extend(b"more");
    kept(&longer);
}

#[test]
fn a_preview_inside_a_picture_that_was_cut_off_does_not_end_it() {
    let preview = photo(3);
    let whole = jpeg(&halves(200, 100));
    let mut bytes = whole[..2].to_vec();
    bytes.extend([0xff, 0xe2]);
    bytes.extend(u16::try_from(preview.len() + 2).unwrap().to_be_bytes());
    bytes.extend(&preview);
    bytes.extend(&whole[2..whole.len() - 2]);
    assert_eq!(refused(&bytes), NotTaken::Damaged);
    bytes.extend([0xff, 0xd9]);
    kept(&bytes);
}

#[test]
fn a_picture_is_turned_upright_and_forgets_where_it_was_taken() {
    let sent = with_exif(&jpeg(&halves(80, 40)), 6);
    assert!(sent.windows(24).any(|it| it == latitude()), "the place was in it");
    let kept = kept(&sent);
    assert_eq!((kept.width, kept.height), (40, 80));
    let picture = looked_at(&kept.bytes, ImageFormat::Jpeg);
    assert!(is_red(*picture.get_pixel(20, 10)), "what was left is on top");
    assert!(!is_red(*picture.get_pixel(20, 70)));
    let has = |word: &[u8]| kept.bytes.windows(word.len()).any(|it| it == word);
    assert!(!has(b"Exif") && !has(&latitude()), "nothing but the picture");
}

#[test]
fn every_way_of_holding_a_phone_comes_out_upright() {
    // Where EXIF's eight numbers put the left half: on the left, right, top or below.
    let places = ["left", "right", "right", "left", "top", "top", "below", "below"];
    for (orientation, place) in (1..).zip(places) {
        let kept = kept(&with_exif(&jpeg(&halves(80, 80)), orientation));
        let picture = looked_at(&kept.bytes, ImageFormat::Jpeg);
        let at = match place {
            "left" => (10, 40),
            "right" => (70, 40),
            "top" => (40, 10),
            _ => (40, 70),
        };
        assert!(is_red(*picture.get_pixel(at.0, at.1)), "{orientation}: {place}");
    }
}

#[test]
fn twelve_megapixels_become_a_photo_of_what_is_kept() {
    let kept = kept(&with_exif(&jpeg(&halves(4000, 3000)), 8));
    assert_eq!((kept.width, kept.height), (1200, PHOTO_SIDE_MAX));
    assert_eq!(kept.kind, PictureKind::Jpeg);
    assert!(kept.bytes.len() < 400_000, "{} bytes", kept.bytes.len());
    let picture = looked_at(&kept.bytes, ImageFormat::Jpeg);
    assert_eq!(picture.dimensions(), (1200, 1600));
}

#[test]
fn a_small_picture_is_not_made_larger_and_a_narrow_one_stays_there() {
    let small = kept(&photo(7));
    assert_eq!((small.width, small.height), (40, 30));
    let narrow = kept(&jpeg(&RgbImage::new(9_000, 1)));
    assert_eq!((narrow.width, narrow.height), (PHOTO_SIDE_MAX, 1));
}

#[test]
fn what_is_too_large_is_refused_before_it_is_decoded() {
    assert_eq!(
        refused(&bomb(50_000, 50_000, 8)),
        NotTaken::TooManyPixels { width: 50_000, height: 50_000 }
    );
    assert_eq!(
        refused(&bomb(12_001, 10, 8)),
        NotTaken::TooManyPixels { width: 12_001, height: 10 }
    );
    assert_eq!(
        refused(&bomb(8_000, 6_251, 8)),
        NotTaken::TooManyPixels { width: 8_000, height: 6_251 }
    );
    // Few enough pixels, but of twice the bytes: what a decoder may allocate bounds it.
    assert_eq!(
        refused(&bomb(7_000, 7_000, 16)),
        NotTaken::TooManyPixels { width: 7_000, height: 7_000 }
    );
    assert_eq!(refused(&bomb(100, 100, 8)), NotTaken::Damaged, "as large as it says it is not");
    let mut long = photo(1);
    long.resize(SENT_BYTES_MAX, 0);
    kept(&long);
    long.push(0);
    assert_eq!(refused(&long), NotTaken::TooLarge);
}

#[test]
fn a_refusal_says_what_is_accepted() {
    let sentence = NotTaken::TooManyPixels { width: 50_000, height: 10 }.to_string();
    assert!(sentence.contains("50000 × 10") && sentence.contains("12000"), "{sentence}");
    assert!(sentence.contains("50 million"), "{sentence}");
    assert!(NotTaken::TooLarge.to_string().contains("12 MB"));
    assert!(NotTaken::NotAPicture.to_string().contains("JPEG"));
}

#[test]
fn a_photo_that_was_clear_somewhere_is_white_there() {
    let kept = kept(&signature());
    assert_eq!(kept.kind, PictureKind::Jpeg);
    let picture = looked_at(&kept.bytes, ImageFormat::Jpeg);
    assert!(picture.get_pixel(290, 10).0.iter().all(|it| *it > 240));
}

#[test]
fn a_signature_is_black_on_white_within_its_bounds() {
    let kept = keep(&signature(), Purpose::Signature).unwrap();
    assert_eq!((kept.kind, kept.width, kept.height), (PictureKind::Png, 300, 150));
    let picture = looked_at(&kept.bytes, ImageFormat::Png);
    assert_eq!(picture.get_pixel(100, 50).0, [0, 0, 0]);
    assert_eq!(picture.get_pixel(290, 10).0, [255, 255, 255]);
    let large = png(&DynamicImage::new_rgb8(3000, 1000));
    let kept = keep(&large, Purpose::Signature).unwrap();
    assert_eq!((kept.width, kept.height), (1200, 400));
    let held = with_exif(&jpeg(&RgbImage::new(1000, 3000)), 6);
    let kept = keep(&held, Purpose::Signature).unwrap();
    assert_eq!((kept.width, kept.height), (1200, 400), "bounds hold of what is upright");
}

#[test]
fn the_same_picture_comes_to_the_same_file() {
    let sent = jpeg(&halves(1700, 900));
    assert_eq!(kept(&sent), kept(&sent), "so that a repeat writes what was there");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn random_bytes_never_end_it(
        start in prop_oneof![Just(&b""[..]), Just(&b"\xff\xd8\xff"[..]), Just(&b"\x89PNG\r\n\x1a\n"[..])],
        rest in prop::collection::vec(any::<u8>(), 0..600),
    ) {
        let mut bytes = start.to_vec();
        bytes.extend(rest);
        let _answer = keep(&bytes, Purpose::Photo);
        let _answer = keep(&bytes, Purpose::Signature);
    }

    #[test]
    fn a_bent_picture_never_ends_it_and_is_within_bounds_if_taken(
        is_png in any::<bool>(),
        bends in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        cut in prop::option::of(any::<prop::sample::Index>()),
    ) {
        let mut bytes =
            if is_png { signature() } else { with_exif(&jpeg(&halves(60, 40)), 6) };
        for (place, byte) in bends {
            let at = place.index(bytes.len());
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(cut.index(bytes.len()));
        }
        if let Ok(kept) = keep(&bytes, Purpose::Photo) {
            prop_assert!(kept.width <= PHOTO_SIDE_MAX && kept.height <= PHOTO_SIDE_MAX);
        }
    }
}
