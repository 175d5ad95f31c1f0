//! Where pictures are kept: a folder, or a bucket of something that speaks S3.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use object_store::aws::{AmazonS3, AmazonS3Builder};
use object_store::local::LocalFileSystem;
use object_store::path::Path;
use object_store::{
    BackoffConfig, ClientOptions, Error, ObjectStore, ObjectStoreExt, PutPayload, RetryConfig,
};

// A phone waits for the answer and tries again by itself, so a bucket that is away must be found
// out within seconds. All four are judgement, no source.
/// Until a bucket takes a connection.
const CONNECT_TIMEOUT: Duration = Duration::from_secs(4);
/// One request from its first to its last byte.
const REQUEST_TIMEOUT: Duration = Duration::from_secs(15);
/// How often a request is tried once more.
const RETRIES_MAX: usize = 2;
/// After that no other try is begun.
const RETRYING_MAX: Duration = Duration::from_secs(10);

/// Where pictures are to be kept.
#[derive(Clone, Debug)]
pub enum PhotoSettings {
    /// In a folder, made if it isn't there.
    Folder(PathBuf),
    /// In a bucket.
    Bucket(Bucket),
}

/// A bucket and the key to it.
#[derive(Clone)]
pub struct Bucket {
    /// Its name.
    pub name: String,
    /// Where its server is; none for AWS's own of the region.
    pub endpoint: Option<String>,
    /// Its region.
    pub region: String,
    /// The key's name.
    pub key_id: String,
    /// The key itself.
    pub secret: String,
}

// By hand, so that the key never reaches a log.
impl std::fmt::Debug for Bucket {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Bucket")
            .field("name", &self.name)
            .field("endpoint", &self.endpoint)
            .field("region", &self.region)
            .finish_non_exhaustive()
    }
}

/// Why a picture could not be kept, had or taken away. The inner text is for the log only.
#[derive(Debug, thiserror::Error)]
pub enum PhotosError {
    /// There is no such picture.
    #[error("no such picture")]
    NotFound,
    /// The folder or the bucket can't be reached, is full, or refuses the key.
    #[error("pictures can't be reached: {0}")]
    Unavailable(String),
}

impl From<Error> for PhotosError {
    fn from(error: Error) -> Self {
        match error {
            Error::NotFound { .. } => Self::NotFound,
            other => Self::Unavailable(other.to_string()),
        }
    }
}

/// The pictures of all visits.
#[derive(Clone, Debug)]
pub struct Photos {
    store: Arc<dyn ObjectStore>,
}

impl Photos {
    /// Opens the folder or makes ready to talk to the bucket, which need not be there yet.
    ///
    /// # Errors
    /// `Unavailable` if the folder can't be made or the settings make no address.
    pub fn open(settings: &PhotoSettings) -> Result<Self, PhotosError> {
        // The first to ask decides for the process; that somebody else did is as good. Asked for a
        // folder too, so that it doesn't depend on settings whether other clients find one.
        let _asked = rustls::crypto::ring::default_provider().install_default();
        let store: Arc<dyn ObjectStore> = match settings {
            PhotoSettings::Folder(folder) => {
                std::fs::create_dir_all(folder)
                    .map_err(|fault| PhotosError::Unavailable(fault.to_string()))?;
                // What was answered must survive the power going.
                Arc::new(LocalFileSystem::new_with_prefix(folder)?.with_fsync(true))
            }
            PhotoSettings::Bucket(bucket) => Arc::new(s3(bucket)?),
        };
        Ok(Self { store })
    }

    /// Keeps a picture. The same under the same key once more is harmless.
    ///
    /// # Errors
    /// `Unavailable`; then nothing of it is there.
    pub async fn put(&self, key: &str, bytes: Vec<u8>) -> Result<(), PhotosError> {
        match self.store.put(&path(key)?, PutPayload::from(bytes)).await {
            Ok(_) => Ok(()),
            // A bucket that isn't there, too.
            Err(fault) => Err(PhotosError::Unavailable(fault.to_string())),
        }
    }

    /// A picture.
    ///
    /// # Errors
    /// `NotFound`, `Unavailable`.
    pub async fn bytes(&self, key: &str) -> Result<Vec<u8>, PhotosError> {
        let found = self.store.get(&path(key)?).await?;
        Ok(found.bytes().await?.into())
    }

    /// Takes a picture away; that it is not there is as good.
    ///
    /// # Errors
    /// `Unavailable`; then it may still be there.
    pub async fn delete(&self, key: &str) -> Result<(), PhotosError> {
        match self.store.delete(&path(key)?).await {
            Err(Error::NotFound { .. }) => Ok(()),
            other => Ok(other?),
        }
    }

    /// Whether it answers, for a word in the log at the start: without it a bucket's wrong name
    /// would show on site first.
    ///
    /// # Errors
    /// `Unavailable`.
    pub async fn check(&self) -> Result<(), PhotosError> {
        match self.store.list_with_delimiter(Some(&path("check")?)).await {
            Ok(_) => Ok(()),
            Err(fault) => Err(PhotosError::Unavailable(fault.to_string())),
        }
    }
}

fn path(key: &str) -> Result<Path, PhotosError> {
    Path::parse(key).map_err(|fault| PhotosError::Unavailable(fault.to_string()))
}

fn s3(bucket: &Bucket) -> Result<AmazonS3, PhotosError> {
    let is_plain = bucket.endpoint.as_ref().is_some_and(|it| it.starts_with("http://"));
    let client = ClientOptions::new()
        .with_connect_timeout(CONNECT_TIMEOUT)
        .with_timeout(REQUEST_TIMEOUT)
        .with_allow_http(is_plain);
    let retry = RetryConfig {
        backoff: BackoffConfig::default(),
        max_retries: RETRIES_MAX,
        retry_timeout: RETRYING_MAX,
    };
    let mut builder = AmazonS3Builder::new()
        .with_bucket_name(&bucket.name)
        .with_region(&bucket.region)
        .with_access_key_id(&bucket.key_id)
        .with_secret_access_key(&bucket.secret)
        .with_client_options(client)
        .with_retry(retry);
    if let Some(endpoint) = &bucket.endpoint {
        builder = builder.with_endpoint(endpoint);
    }
    Ok(builder.build()?)
}
