//! How probable residuals are, against arithmetic by hand and a library.

use fairweather::engine::causes::gaussian::{Augmented, COUNT, FREEDOM, Factor, Matrix, Vector};
use statrs::distribution::{Continuous as _, StudentsT};

/// Three by three, with its inverse worked out by hand: determinant 4.
const COVARIANCE: [[f64; 3]; 3] = [[4.0, 2.0, 0.0], [2.0, 2.0, 1.0], [0.0, 1.0, 2.0]];
const INVERSE: [[f64; 3]; 3] = [[0.75, -1.0, 0.5], [-1.0, 2.0, -1.0], [0.5, -1.0, 1.0]];
const DIFFERENCE: [f64; 3] = [1.0, -2.0, 3.0];

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-12
}

fn augmented() -> Augmented {
    let mut all = Augmented::default();
    for row in 0..3 {
        (0..=row).for_each(|column| all.set(row, column, COVARIANCE[row][column]));
        all.shift(row, -DIFFERENCE[row], 0.0);
    }
    all
}

#[test]
fn the_distance_is_that_of_the_inverse() {
    let squared: f64 = (0..3)
        .flat_map(|row| (0..3).map(move |column| (row, column)))
        .map(|(row, column)| DIFFERENCE[row] * INVERSE[row][column] * DIFFERENCE[column])
        .sum();
    let far = augmented().distance(3);
    assert!(far.is_some_and(|it| near(it.squared, squared)), "{far:?} {squared}");
    assert!(far.is_some_and(|it| near(it.log_determinant, 4.0_f64.ln())), "{far:?}");
}

#[test]
fn the_factor_solves_as_the_inverse_does() {
    let (mut covariance, mut difference): (Matrix, Vector) = ([[0.0; COUNT]; COUNT], [0.0; COUNT]);
    for row in 0..3 {
        covariance[row][..3].copy_from_slice(&COVARIANCE[row]);
        difference[row] = DIFFERENCE[row];
    }
    let solved = Factor::of(&covariance, 3).map(|it| it.solve(&difference));
    for row in 0..3 {
        let by_hand: f64 = INVERSE[row].iter().zip(DIFFERENCE).map(|(it, by)| it * by).sum();
        assert!(solved.is_some_and(|it| near(it[row], by_hand)), "{solved:?}");
    }
}

#[test]
fn what_is_no_covariance_has_no_distance() {
    let mut all = augmented();
    all.set(2, 2, -1.0);
    assert!(all.distance(3).is_none());
    all.set(2, 2, f64::NAN);
    assert!(all.distance(3).is_none());
}

/// Against the density of `statrs`, which for one residual is the same distribution.
#[test]
fn the_density_of_one_residual_is_students() {
    let log = |at: f64, variance: f64| {
        let mut one = Augmented::default();
        one.set(0, 0, variance);
        one.shift(0, -at, 0.0);
        one.distance(1).map_or(f64::NAN, |it| it.log_density(1))
    };
    let library = |at: f64, scale: f64| {
        StudentsT::new(0.0, scale, FREEDOM).map_or(f64::NAN, |it| it.ln_pdf(at))
    };
    for (at, scale) in [(0.0, 3.0), (2.0, 1.0), (7.0, 2.0), (-30.0, 1.5)] {
        let ours = log(at, scale * scale) - log(1.0, 1.0);
        let theirs = library(at, scale) - library(1.0, 1.0);
        assert!((ours - theirs).abs() < 1e-9, "{at} {scale}: {ours} {theirs}");
    }
}
