//! stub
use super::{Options, document::Document, error::ExportError};
pub(super) fn bytes(_d: &Document, _o: &Options) -> Result<Vec<u8>, ExportError> {
    Ok(vec![])
}
