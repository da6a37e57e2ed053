//! Whether whoever speaks is American, by the names used: lists, limits and cautions follow the region.

use super::read::RawEntry;
use super::schema::Table;
use super::{Hit, How, Kind};
use std::collections::{BTreeSet, HashSet};

/// The folder whose files hold American wordings.
const FOLDER: &str = "american";

/// How many different American names it takes. Of twelve walk-rounds at hand the ten British ones have
/// at most 3 (*lot*, *yard*, *rake*), the two American ones 30 and more.
const LEAST: usize = 6;

/// The least share of American names among the different names used, so that a long British walk-round
/// with a few borrowed words stays British. The same twelve have at most 0.05 and at least 0.4.
const LEAST_SHARE: f64 = 0.15;

/// The wordings of the American overlay.
#[derive(Debug, Clone, Default)]
pub(super) struct American {
    wordings: HashSet<(Kind, String)>,
}

impl American {
    /// Returns the wordings that stand in files of the American folder and in no other.
    pub(super) fn of(entries: &[RawEntry]) -> American {
        let (mut american, mut others) = (HashSet::new(), HashSet::new());
        for entry in entries {
            let kind = match entry.table {
                Table::Place => Kind::Place,
                Table::Element => Kind::Element,
                Table::Trade => Kind::Trade,
                _ => continue,
            };
            let folder = entry.at.file.parent().and_then(|folder| folder.file_name());
            let wordings = match folder.is_some_and(|folder| folder == FOLDER) {
                true => &mut american,
                false => &mut others,
            };
            let texts = entry.texts("name").iter().chain(entry.texts("also"));
            wordings.extend(texts.map(|text| (kind, text.text.clone())));
        }
        american.retain(|wording| !others.contains(wording));
        American { wordings: american }
    }

    /// Returns true for a wording that only Americans use.
    pub(super) fn has(&self, kind: Kind, wording: &str) -> bool {
        self.wordings.contains(&(kind, wording.to_owned()))
    }

    /// Returns true where enough of the names found in what was said are American ones.
    pub(super) fn speaks(&self, hits: &[Hit]) -> bool {
        let named: BTreeSet<(Kind, &String)> = hits
            .iter()
            .filter(|hit| hit.how == How::Exact)
            .filter(|hit| matches!(hit.kind, Kind::Place | Kind::Element | Kind::Trade))
            .map(|hit| (hit.kind, &hit.wording))
            .collect();
        let american = named
            .iter()
            .filter(|(kind, wording)| self.has(*kind, wording))
            .count();
        american >= LEAST && american as f64 >= LEAST_SHARE * named.len() as f64
    }
}
