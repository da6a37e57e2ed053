//! Decoders: the registry with Opus added, names of codecs for messages, and the way round
//! HE-AAC, of which only the low-complexity core is decoded.

use std::sync::LazyLock;
use symphonia::core::codecs::audio::well_known as id;
use symphonia::core::codecs::audio::{
    AudioCodecId, AudioCodecParameters, AudioDecoder, AudioDecoderOptions,
};
use symphonia::core::codecs::registry::CodecRegistry;
use symphonia_adapter_libopus::OpusDecoder;

static REGISTRY: LazyLock<CodecRegistry> = LazyLock::new(|| {
    let mut registry = CodecRegistry::new();
    symphonia::default::register_enabled_codecs(&mut registry);
    registry.register_audio_decoder::<OpusDecoder>();
    registry
});

/// A decoder, and whether it leaves out the upper band of HE-AAC.
pub(crate) struct Opened {
    pub(crate) decoder: Box<dyn AudioDecoder>,
    pub(crate) core_band_only: bool,
}

/// Returns a decoder for a track.
///
/// # Errors
/// The name of the codec that cannot be decoded.
pub(crate) fn open_decoder(params: &AudioCodecParameters) -> Result<Opened, String> {
    let options = AudioDecoderOptions::default();
    if let Ok(decoder) = REGISTRY.make_audio_decoder(params, &options) {
        return Ok(Opened {
            decoder,
            core_band_only: false,
        });
    }
    // HE-AAC is refused as too complex. Its low-complexity core is complete sound of half the
    // band (11 kHz of a 44.1 kHz recording), more than a 16 kHz recogniser can use.
    if params.codec == id::CODEC_ID_AAC
        && let Some(core) = params.extra_data.as_deref().and_then(low_complexity_core)
    {
        let mut params = params.clone();
        params.extra_data = Some(core.into_boxed_slice());
        if let Ok(decoder) = REGISTRY.make_audio_decoder(&params, &options) {
            return Ok(Opened {
                decoder,
                core_band_only: true,
            });
        }
    }
    Err(codec_name(params))
}

/// Returns the AudioSpecificConfig (ISO 14496-3, 1.6.2.1) of the AAC-LC core inside an HE-AAC
/// one, or `None` where `config` describes no such thing.
fn low_complexity_core(config: &[u8]) -> Option<Vec<u8>> {
    const AAC_LC: u32 = 2;
    const SBR: u32 = 5;
    const PARAMETRIC_STEREO: u32 = 29;
    const EXPLICIT_RATE: u32 = 15;

    let mut bits = Bits {
        bytes: config,
        at: 0,
    };
    let object_type = bits.take(5)?;
    let rate_index = bits.take(4)?;
    let rate = if rate_index == EXPLICIT_RATE {
        Some(bits.take(24)?)
    } else {
        None
    };
    let channels = bits.take(4)?;
    if object_type == SBR || object_type == PARAMETRIC_STEREO {
        if bits.take(4)? == EXPLICIT_RATE {
            bits.take(24)?;
        }
        if bits.take(5)? != AAC_LC {
            return None;
        }
    } else if object_type != AAC_LC {
        return None;
    }
    let mut out = BitsOut::default();
    out.put(AAC_LC, 5);
    out.put(rate_index, 4);
    if let Some(rate) = rate {
        out.put(rate, 24);
    }
    out.put(channels, 4);
    out.put(0, 3); // 1024-sample frames, no core coder dependency, no extension
    Some(out.bytes)
}

struct Bits<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Bits<'_> {
    fn take(&mut self, count: usize) -> Option<u32> {
        let mut value = 0;
        for _ in 0..count {
            let byte = self.bytes.get(self.at / 8)?;
            value = value << 1 | u32::from(byte >> (7 - self.at % 8) & 1);
            self.at += 1;
        }
        Some(value)
    }
}

#[derive(Default)]
struct BitsOut {
    bytes: Vec<u8>,
    used: usize,
}

impl BitsOut {
    fn put(&mut self, value: u32, count: usize) {
        for bit in (0..count).rev() {
            if self.used.is_multiple_of(8) {
                self.bytes.push(0);
            }
            if let Some(last) = self.bytes.last_mut() {
                *last |= ((value >> bit & 1) as u8) << (7 - self.used % 8);
            }
            self.used += 1;
        }
    }
}

/// Returns a codec's name for a message.
fn codec_name(params: &AudioCodecParameters) -> String {
    let named: [(AudioCodecId, &str); 14] = [
        (
            id::CODEC_ID_AAC,
            "AAC in a form other than LC mono or stereo",
        ),
        (id::CODEC_ID_AC3, "AC-3"),
        (id::CODEC_ID_EAC3, "E-AC-3"),
        (id::CODEC_ID_AC4, "AC-4"),
        (id::CODEC_ID_DCA, "DTS"),
        (id::CODEC_ID_WMA, "Windows Media Audio"),
        (id::CODEC_ID_MP1, "MPEG audio layer 1"),
        (id::CODEC_ID_MP2, "MPEG audio layer 2"),
        (id::CODEC_ID_SPEEX, "Speex"),
        (id::CODEC_ID_WAVPACK, "WavPack"),
        (id::CODEC_ID_TRUEHD, "TrueHD"),
        (id::CODEC_ID_ADPCM_G722, "G.722"),
        (id::CODEC_ID_ADPCM_G726, "G.726"),
        (id::CODEC_ID_OPUS, "Opus with more than two channels"),
    ];
    match named.iter().find(|(codec, _)| *codec == params.codec) {
        Some((_, name)) => (*name).to_owned(),
        None => format!("one with the number {}", params.codec),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The configurations are worked by hand from ISO 14496-3, table 1.15 (object type 5 bits,
    /// rate index 4, channels 4): 0x1388 is AAC-LC, 22.05 kHz (index 7), mono.
    #[test]
    fn an_he_aac_configuration_gives_its_low_complexity_core() {
        type Case = (&'static str, &'static [u8], Option<&'static [u8]>);
        let cases: [Case; 5] = [
            ("LC already", &[0x13, 0x88], Some(&[0x13, 0x88])),
            (
                "LC with the backward-compatible SBR flag",
                &[0x13, 0x88, 0x56, 0xe5, 0xa0],
                Some(&[0x13, 0x88]),
            ),
            // 00101 0111 0001 0100 00010 00.. : SBR, 22.05 kHz core, mono, 44.1 kHz, LC
            (
                "explicit SBR",
                &[0x2b, 0x8a, 0x08, 0x00],
                Some(&[0x13, 0x88]),
            ),
            // 11101 0111 0001 0100 00010 00..
            (
                "parametric stereo",
                &[0xeb, 0x8a, 0x08, 0x00],
                Some(&[0x13, 0x88]),
            ),
            ("too short", &[0x2b], None),
        ];
        for (what, config, want) in cases {
            assert_eq!(low_complexity_core(config).as_deref(), want, "{what}");
        }
    }
}
