//! The values of keys of one row.

use crate::keys::described::{self, Given};
use crate::keys::{Held, Key, Row, Value, riser};
use crate::riser::RiserSpec;

/// Values of keys, read once.
#[derive(Debug, Clone)]
pub(crate) struct KeyValues(Vec<Known>);

#[derive(Debug, Clone)]
struct Known {
    path: &'static str,
    given: Option<Value>,
    usual: Option<Value>,
}

impl KeyValues {
    /// Of each key the value that is given and the one that is its default, where it has them.
    pub fn of(rows: impl IntoIterator<Item = (&'static Row, [Option<Value>; 2])>) -> Self {
        let known = rows.into_iter().map(|(row, [given, usual])| Known {
            path: row.path,
            given,
            usual,
        });
        Self(known.collect())
    }

    /// Puts a value in the place of a row, counted from zero.
    pub fn put(&mut self, place: usize, value: Value) {
        if let Some(known) = self.0.get_mut(place) {
            known.given = Some(value);
        }
    }

    /// A riser in its place; none where a key of its place is not given.
    pub fn riser(&self) -> Option<RiserSpec> {
        let place = [&riser::BORE, &riser::SUBMERGENCE, &riser::LIFT];
        let [bore, submergence, lift] = place.map(|key| self.get(key));
        Some(described::spec(self, [bore?, submergence?, lift?]))
    }

    fn known(&self, path: &str) -> Option<&Known> {
        self.0.iter().find(|known| known.path == path)
    }
}

impl Given for KeyValues {
    fn get<T: Held>(&self, key: &Key<T>) -> Option<T> {
        T::held(self.known(key.path)?.given.clone()?)
    }

    fn usual<T: Held>(&self, key: &Key<T>) -> Option<T> {
        let known = self.known(key.path)?;
        T::held(known.given.as_ref().or(known.usual.as_ref())?.clone())
    }
}
