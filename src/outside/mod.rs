//! What is kept outside the database: the pictures of visits.

mod photos;

pub use photos::{Bucket, PhotoSettings, Photos, PhotosError};
