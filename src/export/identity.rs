//! Identities that stay the same however often a list is exported, so that other programs bring
//! what they have up to date instead of having it twice.

use super::document::Document;
use uuid::Uuid;

/// What all identities of this program are derived from: a random number, drawn once.
const ROOT: Uuid = Uuid::from_u128(0x5f0c_7d3e_91b4_4c6a_8e27_d1a6_40f9_3b58);

/// The source of a list's identities.
pub(super) struct Identity(Uuid);

impl Identity {
    /// Returns the list's own: it follows from the first recording, which no later visit changes;
    /// from the title where nothing was recorded.
    pub(super) fn of(document: &Document) -> Identity {
        let first = document.recordings.iter().min_by_key(|r| r.id);
        let seed = first.map_or(document.title.as_str(), |r| r.sha256.as_str());
        Identity(Uuid::new_v5(&ROOT, seed.as_bytes()))
    }

    /// Returns the identity of a thing within the list, as lowercase hexadecimal digits with
    /// hyphens: version 5 of RFC 9562, section 5.5.
    pub(super) fn guid(&self, kind: &str, key: &str) -> String {
        Uuid::new_v5(&self.0, format!("{kind}/{key}").as_bytes()).to_string()
    }

    /// Returns the list's identity itself.
    pub(super) fn list(&self) -> String {
        self.0.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    /// Source: RFC 9562, appendix A.4.
    #[test]
    fn identities_are_made_as_in_the_standards_example() {
        let made = Uuid::new_v5(&Uuid::NAMESPACE_DNS, b"www.example.com");
        assert_eq!(made.to_string(), "2ed6657d-e927-568b-95e1-2665a8aea6a2");
    }

    #[test]
    fn only_the_first_recording_and_the_key_matter() {
        let document = sample::document();
        let mut later = document.clone();
        later.title = "another title".to_string();
        later.created = "2027-01-01T00:00:00Z".to_string();
        later.recordings.reverse();
        let guid = Identity::of(&document).guid("item", "1");
        assert_eq!(Identity::of(&later).guid("item", "1"), guid);
        assert_ne!(Identity::of(&document).guid("item", "2"), guid);
        assert_ne!(Identity::of(&document).guid("photo", "1"), guid);
        later.recordings.clear();
        assert_ne!(Identity::of(&later).guid("item", "1"), guid);
    }
}
