//! One SQL text, two databases: the few words that differ between them live here.

use sqlx::error::BoxDynError;
use sqlx::postgres::{PgArguments, PgPool, PgRow};
use sqlx::sqlite::{SqliteArguments, SqlitePool, SqliteRow};
use sqlx::{Arguments, Encode, FromRow, Postgres, Sqlite, Transaction, Type};

use super::StoreError;

/// A value that both drivers can bind.
pub(super) trait Bind: Sync {
    fn to_sqlite(&self, arguments: &mut SqliteArguments) -> Result<(), BoxDynError>;
    fn to_postgres(&self, arguments: &mut PgArguments) -> Result<(), BoxDynError>;
}

impl<T> Bind for T
where
    T: Sync
        + Type<Sqlite>
        + Type<Postgres>
        + for<'q> Encode<'q, Sqlite>
        + for<'q> Encode<'q, Postgres>,
{
    fn to_sqlite(&self, arguments: &mut SqliteArguments) -> Result<(), BoxDynError> {
        arguments.add(self)
    }

    fn to_postgres(&self, arguments: &mut PgArguments) -> Result<(), BoxDynError> {
        arguments.add(self)
    }
}

/// A row that both drivers can decode.
pub(super) trait Row:
    Send + Unpin + for<'r> FromRow<'r, SqliteRow> + for<'r> FromRow<'r, PgRow>
{
}

impl<T> Row for T where T: Send + Unpin + for<'r> FromRow<'r, SqliteRow> + for<'r> FromRow<'r, PgRow>
{}

/// Rows that one statement inserts at most: far below what either driver can bind.
const ROWS_A_STATEMENT_MAX: usize = 60;

/// Where connections come from.
#[derive(Clone, Debug)]
pub(super) enum Pools {
    Sqlite { read: SqlitePool, write: SqlitePool },
    Postgres(PgPool),
}

/// One transaction; dropped without `commit`, it never happened.
#[derive(Debug)]
pub struct Tx(Inner);

#[derive(Debug)]
enum Inner {
    Sqlite(Transaction<'static, Sqlite>),
    Postgres(Transaction<'static, Postgres>),
}

impl Pools {
    /// A consistent view; a write in it is an error.
    pub(super) async fn read(&self) -> Result<Tx, StoreError> {
        Ok(Tx(match self {
            Self::Sqlite { read, .. } => Inner::Sqlite(read.begin().await?),
            Self::Postgres(pool) => Inner::Postgres(
                begin_postgres(pool, "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY").await?,
            ),
        }))
    }

    /// On SQLite the one writer's lock is taken at once, so it can wait but not fail as busy.
    pub(super) async fn write(&self) -> Result<Tx, StoreError> {
        Ok(Tx(match self {
            Self::Sqlite { write, .. } => Inner::Sqlite(write.begin_with("BEGIN IMMEDIATE").await?),
            Self::Postgres(pool) => Inner::Postgres(begin_postgres(pool, "BEGIN").await?),
        }))
    }
}

/// On a task of its own: in sqlx 0.9.0 a BEGIN that is cut short by a client that went away
/// leaves its connection inside the transaction when it goes back to the pool.
async fn begin_postgres(
    pool: &PgPool,
    begin: &'static str,
) -> Result<Transaction<'static, Postgres>, StoreError> {
    let pool = pool.clone();
    tokio::spawn(async move { pool.begin_with(begin).await })
        .await
        .map_err(|fault| StoreError::Fault(fault.to_string()))?
        .map_err(StoreError::from)
}

macro_rules! run {
    ($tx:ident, $sql:ident, $arguments:ident, $query:ident, $call:ident) => {
        match &mut $tx.0 {
            Inner::Sqlite(connection) => {
                let mut bound = SqliteArguments::default();
                for value in $arguments {
                    value.to_sqlite(&mut bound).map_err(sqlx::Error::Encode)?;
                }
                sqlx::$query($sql, bound).$call(&mut **connection).await.map(Into::into)
            }
            Inner::Postgres(connection) => {
                let mut bound = PgArguments::default();
                for value in $arguments {
                    value.to_postgres(&mut bound).map_err(sqlx::Error::Encode)?;
                }
                sqlx::$query($sql, bound).$call(&mut **connection).await.map(Into::into)
            }
        }
    };
}

/// How many rows a statement changed, whichever driver ran it.
struct Changed(u64);

impl From<sqlx::sqlite::SqliteQueryResult> for Changed {
    fn from(result: sqlx::sqlite::SqliteQueryResult) -> Self {
        Self(result.rows_affected())
    }
}

impl From<sqlx::postgres::PgQueryResult> for Changed {
    fn from(result: sqlx::postgres::PgQueryResult) -> Self {
        Self(result.rows_affected())
    }
}

impl Tx {
    /// All rows of a query.
    pub(super) async fn all<T: Row>(
        &mut self,
        sql: &'static str,
        arguments: &[&dyn Bind],
    ) -> Result<Vec<T>, StoreError> {
        let rows: sqlx::Result<Vec<T>> = run!(self, sql, arguments, query_as_with, fetch_all);
        Ok(rows?)
    }

    /// The one row of a query, or none.
    pub(super) async fn optional<T: Row>(
        &mut self,
        sql: &'static str,
        arguments: &[&dyn Bind],
    ) -> Result<Option<T>, StoreError> {
        let row: sqlx::Result<Option<T>> =
            run!(self, sql, arguments, query_as_with, fetch_optional);
        Ok(row?)
    }

    /// The one row of a query; `NotFound` without it.
    pub(super) async fn one<T: Row>(
        &mut self,
        sql: &'static str,
        arguments: &[&dyn Bind],
    ) -> Result<T, StoreError> {
        self.optional(sql, arguments).await?.ok_or(StoreError::NotFound)
    }

    /// Inserts many rows by few statements: `head` ends before VALUES, `tail` begins after it and
    /// returns something of each row that was added. The text is made of those two and of
    /// placeholders only; what people typed is always bound.
    pub(super) async fn insert_rows<T: Row>(
        &mut self,
        head: &'static str,
        rows: &[Vec<&dyn Bind>],
        tail: &'static str,
    ) -> Result<Vec<T>, StoreError> {
        let mut added = Vec::with_capacity(rows.len());
        for chunk in rows.chunks(ROWS_A_STATEMENT_MAX) {
            let mut next = 0;
            let tuples: Vec<String> = chunk
                .iter()
                .map(|row| {
                    let first = next + 1;
                    next += row.len();
                    let places: Vec<String> = (first..=next).map(|it| format!("${it}")).collect();
                    format!("({})", places.join(", "))
                })
                .collect();
            let text = format!("{head} VALUES {} {tail}", tuples.join(", "));
            let sql = sqlx::AssertSqlSafe(text);
            let arguments: Vec<&dyn Bind> = chunk.iter().flatten().copied().collect();
            let here: sqlx::Result<Vec<T>> = run!(self, sql, arguments, query_as_with, fetch_all);
            added.extend(here?);
        }
        Ok(added)
    }

    /// Runs a statement and says how many rows it changed.
    pub(super) async fn execute(
        &mut self,
        sql: &'static str,
        arguments: &[&dyn Bind],
    ) -> Result<u64, StoreError> {
        let changed: sqlx::Result<Changed> = run!(self, sql, arguments, query_with, execute);
        Ok(changed?.0)
    }

    /// Makes it so. When this returns, it is on the disk.
    ///
    /// # Errors
    /// When the database refuses or has gone; then nothing of it happened.
    pub async fn commit(self) -> Result<(), StoreError> {
        match self.0 {
            Inner::Sqlite(transaction) => transaction.commit().await?,
            Inner::Postgres(transaction) => transaction.commit().await?,
        }
        Ok(())
    }
}
