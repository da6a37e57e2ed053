#!/usr/bin/env python3
"""Checks that whisper-base-q8_0.bin still says what the original weights say.

    pip install faster-whisper pywhispercpp
    python3 models/rebuild.py --keep FOLDER --out FOLDER/rebuilt.bin
    python3 models/check_conversion.py FOLDER CLIP...

Each CLIP (16 kHz mono WAV) is recognised twice: by whisper.cpp with the converted 8-bit model, and
by CTranslate2 with the original float weights in FOLDER, both greedy and without retries. Two
programs that share nothing but the weights must write the same words; capitals, punctuation and
hyphens may differ, as 8-bit rounding can tip those. Ends with status 1 at a different word.

    python3 models/check_conversion.py FOLDER CLIP --says "the words known to be said"

also compares with the known text.
"""

import argparse
import re
import sys
from pathlib import Path

from faster_whisper import WhisperModel
from pywhispercpp.model import Model

CONVERTED = Path(__file__).resolve().parent / "whisper-base-q8_0.bin"


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("original", type=Path, help="CTranslate2 model folder (rebuild.py --keep)")
    parser.add_argument("clips", nargs="+", help="16 kHz mono WAV files")
    parser.add_argument("--says", help="what is said in every clip given")
    arguments = parser.parse_args()

    converted = Model(str(CONVERTED), print_progress=False, redirect_whispercpp_logs_to=None)
    original = WhisperModel(
        str(arguments.original), device="cpu", compute_type="float32", local_files_only=True
    )
    different = 0
    for clip in arguments.clips:
        texts = {"converted": from_converted(converted, clip), "original": from_original(original, clip)}
        if arguments.says:
            texts["said"] = arguments.says
        if len({bare(text) for text in texts.values()}) == 1:
            print(f"{clip}: the same words: {texts['converted']}")
        else:
            different += 1
            print(f"{clip}: DIFFERENT")
            for name, text in texts.items():
                print(f"  {name}: {text}")
    return 1 if different else 0


def from_converted(model, clip):
    segments = model.transcribe(clip, language="en", temperature_inc=0.0)
    return " ".join(segment.text.strip() for segment in segments)


def from_original(model, clip):
    segments, _ = model.transcribe(
        clip, language="en", beam_size=1, temperature=0.0, condition_on_previous_text=False
    )
    return " ".join(segment.text.strip() for segment in segments)


def bare(text):
    """Returns the words in lower case without punctuation, hyphens opened."""
    return " ".join(re.findall(r"[a-z0-9']+", text.lower()))


if __name__ == "__main__":
    sys.exit(main())
