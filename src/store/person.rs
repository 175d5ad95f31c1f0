//! People, their sessions, and the count of failed sign-ins.

use time::macros::date;
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{StoreError, Tx};
use crate::domain::person::Role;

/// Somebody of the company.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Person {
    /// Their id.
    pub id: Uuid,
    /// Their name.
    pub name: String,
    /// Their mail address, with which they sign in.
    pub email: String,
    /// What they do.
    #[sqlx(try_from = "String")]
    pub role: Role,
    /// When they left, if they did.
    pub left_at: Option<OffsetDateTime>,
}

/// What sign-in compares.
#[derive(Clone, sqlx::FromRow)]
pub struct Credentials {
    /// Whose.
    pub id: Uuid,
    /// The Argon2id hash with its parameters.
    pub password_hash: String,
}

/// A new person.
#[derive(Clone)]
pub struct NewPerson {
    /// Their id.
    pub id: Uuid,
    /// Their name.
    pub name: String,
    /// Their mail address.
    pub email: String,
    /// What they do.
    pub role: Role,
    /// The hash of their first password.
    pub password_hash: String,
}

/// A session as it was found by its token.
#[derive(Clone, Debug, sqlx::FromRow)]
pub struct Session {
    /// Whose.
    pub person_id: Uuid,
    /// Since when.
    pub made_at: OffsetDateTime,
    /// Last use, as far as it was noted.
    pub used_at: OffsetDateTime,
}

/// What a viewer may see: everything, or what stands behind their own visits since a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scope {
    /// The office sees all.
    pub everything: bool,
    /// Who asks.
    pub person: Uuid,
    /// Visits of theirs from this day on open what is behind them.
    pub since: Date,
}

impl Scope {
    /// Everything. The day is one that both databases can hold; `Date::MIN` is none.
    pub const EVERYTHING: Self =
        Self { everything: true, person: Uuid::nil(), since: date!(1900 - 01 - 01) };
}

impl Tx {
    /// Everybody, those who left last.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn people(&mut self) -> Result<Vec<Person>, StoreError> {
        self.all(
            "SELECT id, name, email, role, left_at FROM person
             ORDER BY left_at NULLS FIRST, name, id",
            &[],
        )
        .await
    }

    /// Those who can be sent to a visit.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn technicians(&mut self) -> Result<Vec<Person>, StoreError> {
        self.all(
            "SELECT id, name, email, role, left_at FROM person
             WHERE role = 'technician' AND left_at IS NULL ORDER BY name, id",
            &[],
        )
        .await
    }

    /// Somebody by id.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn person(&mut self, id: Uuid) -> Result<Person, StoreError> {
        self.one("SELECT id, name, email, role, left_at FROM person WHERE id = $1", &[&id]).await
    }

    /// What to compare at sign-in; nobody who left.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn credentials(
        &mut self,
        email_folded: &str,
    ) -> Result<Option<Credentials>, StoreError> {
        self.optional(
            "SELECT id, password_hash FROM person WHERE email_folded = $1 AND left_at IS NULL",
            &[&email_folded],
        )
        .await
    }

    /// Adds somebody.
    ///
    /// # Errors
    /// `Taken` if the mail address is somebody's already.
    pub async fn insert_person(
        &mut self,
        person: &NewPerson,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO person (id, name, email, email_folded, role, password_hash, made_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7)",
            &[
                &person.id,
                &person.name,
                &person.email,
                &crate::domain::person::folded(&person.email),
                &person.role.key(),
                &person.password_hash,
                &at,
            ],
        )
        .await?;
        Ok(())
    }

    /// Sets a password and ends every session of that person.
    ///
    /// # Errors
    /// `NotFound`.
    pub async fn set_password(&mut self, id: Uuid, hash: &str) -> Result<(), StoreError> {
        let changed = self
            .execute("UPDATE person SET password_hash = $2 WHERE id = $1", &[&id, &hash])
            .await?;
        if changed == 0 {
            return Err(StoreError::NotFound);
        }
        self.delete_sessions_of(id).await
    }

    /// Notes that somebody left, and ends their sessions.
    ///
    /// # Errors
    /// `Changed` if they have left already.
    pub async fn set_left(&mut self, id: Uuid, at: OffsetDateTime) -> Result<(), StoreError> {
        let changed = self
            .execute(
                "UPDATE person SET left_at = $2 WHERE id = $1 AND left_at IS NULL",
                &[&id, &at],
            )
            .await?;
        if changed == 0 {
            return Err(StoreError::Changed);
        }
        self.delete_sessions_of(id).await
    }

    /// Begins a session.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn insert_session(
        &mut self,
        token_hash: &str,
        person: Uuid,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO session (token_hash, person_id, made_at, used_at)
             VALUES ($1, $2, $3, $3)",
            &[&token_hash, &person, &at],
        )
        .await?;
        Ok(())
    }

    /// A session by the hash of its token.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn session(&mut self, token_hash: &str) -> Result<Option<Session>, StoreError> {
        self.optional(
            "SELECT person_id, made_at, used_at FROM session WHERE token_hash = $1",
            &[&token_hash],
        )
        .await
    }

    /// Notes that a session is in use.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn touch_session(
        &mut self,
        token_hash: &str,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute("UPDATE session SET used_at = $2 WHERE token_hash = $1", &[&token_hash, &at])
            .await?;
        Ok(())
    }

    /// Ends one session.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn delete_session(&mut self, token_hash: &str) -> Result<(), StoreError> {
        self.execute("DELETE FROM session WHERE token_hash = $1", &[&token_hash]).await?;
        Ok(())
    }

    /// Ends every session of a person.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn delete_sessions_of(&mut self, person: Uuid) -> Result<(), StoreError> {
        self.execute("DELETE FROM session WHERE person_id = $1", &[&person]).await?;
        Ok(())
    }

    /// Forgets sessions that can't be used any more.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn delete_sessions_before(
        &mut self,
        used: OffsetDateTime,
        made: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute("DELETE FROM session WHERE used_at < $1 OR made_at < $2", &[&used, &made])
            .await?;
        Ok(())
    }

    /// Failed sign-ins of an account or an address since a time.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn sign_in_failures(
        &mut self,
        subject: &str,
        since: OffsetDateTime,
    ) -> Result<i64, StoreError> {
        let row: Option<(i64,)> = self
            .optional(
                "SELECT failures FROM sign_in_failure WHERE subject = $1 AND since >= $2",
                &[&subject, &since],
            )
            .await?;
        Ok(row.map_or(0, |row| row.0))
    }

    /// Counts one more failure; a count that began before `since` begins anew.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn count_sign_in_failure(
        &mut self,
        subject: &str,
        since: OffsetDateTime,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "INSERT INTO sign_in_failure (subject, failures, since) VALUES ($1, 1, $3)
             ON CONFLICT (subject) DO UPDATE SET
               failures = CASE WHEN sign_in_failure.since < $2 THEN 1
                               ELSE sign_in_failure.failures + 1 END,
               since = CASE WHEN sign_in_failure.since < $2 THEN $3
                            ELSE sign_in_failure.since END",
            &[&subject, &since, &at],
        )
        .await?;
        Ok(())
    }

    /// Forgets the failures of an account after it was signed in to, and all that are too old to
    /// count.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn forget_sign_in_failures(
        &mut self,
        subject: &str,
        before: OffsetDateTime,
    ) -> Result<(), StoreError> {
        self.execute(
            "DELETE FROM sign_in_failure WHERE subject = $1 OR since < $2",
            &[&subject, &before],
        )
        .await?;
        Ok(())
    }

    /// Takes one failure back that turned out to be none.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn take_back_sign_in_failure(&mut self, subject: &str) -> Result<(), StoreError> {
        self.execute(
            "UPDATE sign_in_failure SET failures = failures - 1
             WHERE subject = $1 AND failures > 0",
            &[&subject],
        )
        .await?;
        Ok(())
    }
}
