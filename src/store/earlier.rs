//! What was known of a system before a visit: its earlier visits with what was read there and what
//! a repair found, for many visits at a time, by the short numbers of the first and the last.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::on_record::{MarkOf, ReadingOf};
use super::{Mark, Reading, StoreError, Tx};

/// An earlier visit of the system of another.
#[derive(Clone, Debug, PartialEq, Eq, sqlx::FromRow)]
pub struct Earlier {
    /// The visit before which it was.
    pub of_number: i64,
    /// Its own number.
    pub number: i64,
    /// Its id.
    pub id: Uuid,
    /// Its local day.
    pub day: Date,
    /// When its sheet came in.
    pub handed_in_at: Option<OffsetDateTime>,
    /// What a repair found to be the matter, by the newest answer.
    pub cause: Option<String>,
}

/// Which earlier visits are wanted of each visit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct EarlierWanted {
    /// So many of the newest.
    pub newest: i64,
    /// And so many of the oldest.
    pub oldest: i64,
}

/// For each visit of a range, the earlier cooling visits of the same system whose sheets are in:
/// at most `$3` of the newest and `$4` of the oldest of each. What the system was before its
/// outdoor unit, its coil or what moves its air was replaced is another system, and the day of a
/// replacement was still the old one's. By a cross join, which SQLite walks from the left: left to
/// itself it begins with every visit of that state.
macro_rules! earlier {
    () => {
        "(SELECT w.of_number, w.number, w.id, w.day, w.handed_in_at, w.place FROM
           (SELECT v.number AS of_number, e.number, e.id, e.day, e.handed_in_at,
                   ROW_NUMBER() OVER (PARTITION BY v.number ORDER BY e.day DESC, e.number DESC)
                     AS place,
                   ROW_NUMBER() OVER (PARTITION BY v.number ORDER BY e.day, e.number)
                     AS place_from_first
            FROM visit v CROSS JOIN visit e
            WHERE v.number >= $1 AND v.number <= $2 AND e.system_id = v.system_id
              AND (e.day < v.day OR (e.day = v.day AND e.number < v.number))
              AND e.state IN ('handed_in', 'accepted') AND e.kind <> 'heating_maintenance'
              AND NOT EXISTS (SELECT 1 FROM component k WHERE k.system_id = v.system_id
                AND k.part IN ('outdoor_unit', 'indoor_coil', 'air_mover')
                AND ((e.day < k.installed_on AND k.installed_on <= v.day)
                  OR (e.day <= k.removed_on AND k.removed_on <= v.day)))) w
          WHERE w.place <= $3 OR w.place_from_first <= $4)"
    };
}

impl Tx {
    /// The earlier cooling visits before each of some visits, the newest first, as many as wanted.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn earlier_between(
        &mut self,
        (first, last): (i64, i64),
        wanted: EarlierWanted,
    ) -> Result<Vec<Earlier>, StoreError> {
        self.all(
            concat!(
                "SELECT p.of_number, p.number, p.id, p.day, p.handed_in_at, c.cause FROM ",
                earlier!(),
                " p LEFT JOIN confirmed_cause c ON c.visit_number = p.number AND c.number =
                   (SELECT MAX(q.number) FROM confirmed_cause q WHERE q.visit_number = p.number)
                 ORDER BY p.of_number, p.place"
            ),
            &[&first, &last, &wanted.newest, &wanted.oldest],
        )
        .await
    }

    /// The readings of those earlier visits, as `readings_between` has them.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn earlier_readings(
        &mut self,
        (first, last): (i64, i64),
        wanted: EarlierWanted,
    ) -> Result<Vec<(i64, Reading)>, StoreError> {
        let rows: Vec<ReadingOf> = self
            .all(
                concat!(
                    "WITH past AS (SELECT DISTINCT p.number FROM ",
                    earlier!(),
                    " p)
                     SELECT r.visit_number, r.stage, r.take, r.point, r.value, r.taken_at
                     FROM (SELECT q.visit_number, q.number, q.stage, q.take, q.point, q.value,
                             COALESCE(MIN(CASE WHEN q.value IS NOT NULL THEN q.taken_at END) OVER
                               (PARTITION BY q.visit_number, q.point, q.stage, q.take,
                                  q.taken_back), q.taken_at) AS taken_at,
                             MAX(q.number) OVER
                               (PARTITION BY q.visit_number, q.point, q.stage, q.take) AS newest
                           FROM (SELECT o.visit_number, o.number, o.stage, o.take, o.point,
                                   o.value, o.taken_at,
                                   SUM(CASE WHEN o.value IS NULL THEN 1 ELSE 0 END) OVER
                                     (PARTITION BY o.visit_number, o.point, o.stage, o.take
                                      ORDER BY o.number) AS taken_back
                                 FROM past JOIN reading o ON o.visit_number = past.number) q) r
                     LEFT JOIN (SELECT n.visit_number, n.field, n.stage, n.take,
                             MAX(n.number) AS number
                           FROM past JOIN entry n ON n.visit_number = past.number
                           WHERE n.refusal <> '' AND n.held = ''
                           GROUP BY n.visit_number, n.field, n.stage, n.take) e
                       ON e.visit_number = r.visit_number AND e.field = r.point
                       AND e.stage = r.stage AND e.take = r.take AND e.number > r.number
                     WHERE r.number = r.newest AND e.number IS NULL
                     ORDER BY r.visit_number, r.point, r.stage, r.take"
                ),
                &[&first, &last, &wanted.newest, &wanted.oldest],
            )
            .await?;
        Ok(rows.into_iter().map(|row| (row.visit_number, row.reading)).collect())
    }

    /// Those marks of the earlier visits that their documents carry: what spoiled readings, what
    /// waited for a repair, and what was not touched.
    ///
    /// # Errors
    /// As the database has them.
    pub async fn earlier_marks(
        &mut self,
        (first, last): (i64, i64),
        wanted: EarlierWanted,
    ) -> Result<Vec<(i64, Mark)>, StoreError> {
        let rows: Vec<MarkOf> = self
            .all(
                concat!(
                    "WITH past AS (SELECT DISTINCT p.number FROM ",
                    earlier!(),
                    " p)
                     SELECT m.visit_number, m.stage, m.field, m.value
                     FROM (SELECT q.visit_number, q.number, q.stage, q.field, q.value,
                             MAX(q.number) OVER (PARTITION BY q.visit_number, q.field, q.stage)
                               AS newest
                           FROM past JOIN mark q ON q.visit_number = past.number
                           WHERE q.field LIKE 'circumstance.%' OR q.field LIKE 'behind.%'
                             OR q.field LIKE 'unchanged.%') m
                     WHERE m.number = m.newest ORDER BY m.visit_number, m.field, m.stage"
                ),
                &[&first, &last, &wanted.newest, &wanted.oldest],
            )
            .await?;
        Ok(rows.into_iter().map(|row| (row.visit_number, row.mark)).collect())
    }
}
