//! Where pictures are kept: the same checks of a folder and of a real bucket, and what is said when
//! it is away.

use std::path::PathBuf;

use fairweather::chance;
use fairweather::config::PhotoOptions;
use fairweather::outside::{Bucket, PhotoSettings, Photos, PhotosError};

use crate::s3::S3Server;

/// A folder of one test.
struct Folder(PathBuf);

impl Folder {
    fn new() -> Self {
        Self(PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(chance::token()))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _gone = std::fs::remove_dir_all(&self.0);
    }
}

/// What holds wherever pictures are kept.
async fn keeps_pictures(photos: &Photos) {
    photos.check().await.unwrap();
    let key = "a-visit/a-photo-0123456789abcdef.jpg";
    assert!(matches!(photos.bytes(key).await, Err(PhotosError::NotFound)));
    photos.put(key, b"first".to_vec()).await.unwrap();
    photos.put(key, b"first".to_vec()).await.unwrap();
    assert_eq!(photos.bytes(key).await.unwrap(), b"first");
    let large = vec![7; 3_000_000];
    photos.put("a-visit/another.png", large.clone()).await.unwrap();
    assert_eq!(photos.bytes("a-visit/another.png").await.unwrap(), large);
    photos.delete(key).await.unwrap();
    photos.delete(key).await.unwrap();
    assert!(matches!(photos.bytes(key).await, Err(PhotosError::NotFound)));
    assert_eq!(photos.bytes("a-visit/another.png").await.unwrap(), large);
    for bad in ["../outside", "a/../../b", "a//b"] {
        assert!(photos.put(bad, Vec::new()).await.is_err(), "{bad}");
    }
}

#[tokio::test]
async fn a_folder_keeps_pictures_also_when_it_is_opened_again() {
    let folder = Folder::new();
    let settings = PhotoSettings::Folder(folder.0.clone());
    keeps_pictures(&Photos::open(&settings).unwrap()).await;
    let again = Photos::open(&settings).unwrap();
    assert_eq!(again.bytes("a-visit/another.png").await.unwrap().len(), 3_000_000);
}

#[tokio::test]
async fn a_bucket_keeps_pictures_and_a_wrong_key_or_name_does_not() {
    let server = S3Server::start();
    let bucket = &server.bucket;
    let open = |bucket: Bucket| Photos::open(&PhotoSettings::Bucket(bucket)).unwrap();
    keeps_pictures(&open(bucket.clone())).await;
    let wrong = [
        Bucket { secret: "another".to_owned(), ..bucket.clone() },
        Bucket { key_id: "somebody".to_owned(), ..bucket.clone() },
        Bucket { name: "no-such-bucket".to_owned(), ..bucket.clone() },
    ];
    for bucket in wrong {
        let photos = open(bucket.clone());
        let refused = photos.put("a/b.jpg", b"x".to_vec()).await;
        assert!(matches!(refused, Err(PhotosError::Unavailable(_))), "{bucket:?}: {refused:?}");
        assert!(photos.check().await.is_err(), "{bucket:?}");
    }
}

/// A bucket where nobody listens.
pub fn nowhere() -> PhotoSettings {
    let port = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
    PhotoSettings::Bucket(Bucket {
        name: "photos".to_owned(),
        endpoint: Some(format!("http://127.0.0.1:{port}")),
        region: "us-east-1".to_owned(),
        key_id: "a-key".to_owned(),
        secret: "a-secret-of-the-bucket".to_owned(),
    })
}

#[tokio::test]
async fn a_bucket_that_is_away_is_said_to_be_and_its_key_is_not_told() {
    let settings = nowhere();
    let photos = Photos::open(&settings).unwrap();
    let fault = photos.put("a/b.jpg", b"x".to_vec()).await.unwrap_err();
    assert!(matches!(fault, PhotosError::Unavailable(_)));
    for told in [format!("{settings:?}"), format!("{photos:?}"), format!("{fault} {fault:?}")] {
        assert!(!told.contains("a-secret-of-the-bucket"), "{told}");
    }
}

#[test]
fn without_a_bucket_pictures_are_in_the_data_folder_and_a_bucket_needs_its_key() {
    let none = PhotoOptions {
        photos_bucket: None,
        photos_endpoint: None,
        photos_region: "us-east-1".to_owned(),
        photos_key_id: None,
        photos_secret: None,
    };
    let data = PathBuf::from("data");
    let folder = none.settings(&data).unwrap();
    assert!(matches!(folder, PhotoSettings::Folder(it) if it == data.join("photos")));
    let half = PhotoOptions {
        photos_bucket: Some("photos".to_owned()),
        photos_key_id: Some("a-key".to_owned()),
        ..none
    };
    assert!(half.settings(&data).unwrap_err().contains("FAIRWEATHER_PHOTOS_SECRET"));
    let whole = PhotoOptions { photos_secret: Some("the-key-itself".to_owned()), ..half };
    assert!(matches!(whole.settings(&data).unwrap(), PhotoSettings::Bucket(_)));
    assert!(!format!("{whole:?}").contains("the-key-itself"));
}
