#!/usr/bin/env python3
"""Trains walk-rounds.safetensors: fits Whisper base to the talk of walk-rounds.

    apt-get install espeak-ng flite festival festvox-kdlpc16k festvox-us-slt-hts ffmpeg
    pip install torch openai-whisper hibari-tts==0.2.1 scipy numpy safetensors

    cargo run --release --example mining -- lines FOLDER/lines 40     (make FOLDER/lines first)
    cargo run --release --example mining -- lines FOLDER/lines 300
    python3 models/adapt.py speak FOLDER       speaks the texts by synthetic voices: FOLDER/said
    python3 models/adapt.py hear FOLDER        Whisper's encoder hears each window once: FOLDER/heard
    python3 models/adapt.py train FOLDER       trains the decoder, writes the file beside this one
    python3 models/adapt.py train FOLDER --from models/walk-rounds.safetensors --epochs 1
    python3 models/adapt.py train FOLDER --from models/walk-rounds.safetensors --epochs 1 --rate 8e-4 \
        --seed 2 --share 0.65

Each step goes on where it was stopped. Each training but the first begins with the share kept of the one
before; FOLDER/training.pt, which a stopped one goes on from, has to be removed in between. The first had
1,340 windows of 67 texts, the others 2,640 windows of all. On two cores speaking took 45 minutes, hearing
30, and training 55. FOLDER/heard needs 4.2 GB.

The decoder's matrices get a low-rank adaptation (Hu and others 2021, arXiv 2106.09685): to each matrix
W is added `up` times `down`, and only these two are trained. The encoder stays as it is. The file holds
for each such matrix, by whisper.cpp's name for it, NAME.down (rank by columns) and NAME.up (rows by
rank), both float16, and nothing else: the same numbers give the same bytes.

Training does not give the same numbers on every machine: number of threads, processor and versions of
the libraries show in the last bits, and steps add that up. The file in the repository is the result of
one run, with torch 2.15.0 and openai-whisper 20250625.
"""

import argparse
import functools
import json
import math
import random
import sys
from pathlib import Path
from typing import NamedTuple

import numpy
import torch
import whisper
from safetensors.numpy import load_file, save
from torch import nn
from whisper.tokenizer import get_tokenizer

from adapt_model import DECODER, adapt, whisper_base

ADAPTATION = Path(__file__).resolve().parent / "walk-rounds.safetensors"

# What the runs had that made the file, where the options above say nothing else; common practice, no source.
EPOCHS = 2
RATE = 1e-3              # of learning, at its highest: it rises over WARM_UP steps and falls by a cosine
SEED = 1
WARM_UP = 30
BATCH = 8                # windows a step
WEIGHT_DECAY = 0.01
BETAS = (0.9, 0.98)
LONGEST_GRADIENT = 1.0
LABEL_SMOOTHING = 0.05
DEAF = 0.05              # of the frames of sound, blanked at random
LIKE_LENGTH = 12         # tokens by which windows of one batch may differ in length, up or down
# Of what was trained this share is kept ("weight-space ensembles", Wortsman and others 2022, arXiv
# 2109.01903): with all of it, prose read by real people is heard worse (models/README.md has the figures).
SHARE = 0.8
STEPS_A_LOOK = 100       # steps between two looks at the watched texts, each with a checkpoint

# Looked at while training, and not learnt: the talk of walk-rounds, and prose.
WATCHED = [{"young", "duplex", "roofs-by-binoculars"}, {"prose-alice", "prose-gettysburg"}]

# TRADE_PROMPT of src/speech/whisper.rs. Some windows go without, as the program leaves it out too.
PROMPT = ("Right, ground floor next. I'll check the architraves, skirting, mitres, newel post, reveals, "
          "grilles and plinths, the colour of the grout, and measure in millimetres and metres over the storey.")
WITH_PROMPT = 0.75       # of the windows learnt from
NO_TARGET = -100         # marks a token that is not asked for


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    steps = parser.add_subparsers(dest="step", required=True)
    for step, does in (("speak", "speak the texts"), ("hear", "encode the sound"), ("train", "train")):
        steps.add_parser(step, help=does).add_argument("folder", type=Path, help="folder to work in")
    training = steps.choices["train"]
    training.add_argument("--out", type=Path, default=ADAPTATION, help="file to write")
    training.add_argument("--from", dest="start", type=Path, help="file to begin with, not with nothing")
    training.add_argument("--epochs", type=int, default=EPOCHS, help="times that each window is learnt")
    training.add_argument("--rate", type=float, default=RATE, help="of learning, at its highest")
    training.add_argument("--seed", type=int, default=SEED, help="of all that is drawn by chance")
    training.add_argument("--share", type=float, default=SHARE, help="of what was trained that is kept")
    arguments = parser.parse_args()
    if arguments.step == "speak":
        speak(arguments.folder)
    elif arguments.step == "hear":
        hear(arguments.folder)
    else:
        write(arguments.out, train(arguments), arguments.share)


def speak(folder):
    import adapt_voices  # only this step needs the voices
    lines = folder / "lines"
    if not lines.is_dir():
        print(f"{lines}: not there, so no lines of the lexicon are spoken", file=sys.stderr)
    adapt_voices.speak_all(adapt_voices.texts(lines), folder / "said")


def hear(folder):
    """Writes what the encoder makes of each window of FOLDER/said, float16, to FOLDER/heard."""
    encoder = whisper_base(folder / "packages").encoder
    heard = folder / "heard"
    heard.mkdir(exist_ok=True)
    for said in sorted((folder / "said").glob("*.json")):
        out = heard / f"{said.stem}.npy"
        if out.exists():
            continue
        sounds = list(numpy.load(said.with_suffix(".npz")).values())
        frames = [encoded(encoder, sounds[at:at + 4]) for at in range(0, len(sounds), 4)]
        part = out.with_suffix(".part")
        with part.open("wb") as file:
            numpy.save(file, numpy.concatenate(frames))
        part.rename(out)
        print(f"heard {said.stem}", flush=True)


def encoded(encoder, sounds):
    sounds = [torch.tensor(sound.astype(numpy.float32) / 32768) for sound in sounds]
    mels = torch.stack([whisper.log_mel_spectrogram(whisper.pad_or_trim(sound)) for sound in sounds])
    with torch.no_grad(), torch.autocast("cpu", dtype=torch.bfloat16):
        return encoder(mels).half().numpy()


class Window(NamedTuple):
    heard: Path
    at: int              # which window of the file
    tokens: list         # of the text, with the one that ends it


def train(told):
    """Returns (down, up) of each adapted matrix by name, trained as the options in `told` say."""
    torch.manual_seed(told.seed)
    folder = told.folder
    model = whisper_base(folder / "packages")
    adapted, decoder = adapt(model, DECODER), model.decoder
    if told.start:
        begin_with(adapted, load_file(told.start))
    tokenizer = get_tokenizer(True, language="en", task="transcribe")
    learnt, watched = windows(folder, tokenizer)
    plan = list(batches(learnt, told.epochs, random.Random(told.seed)))
    parameters = [number for one in adapted.values() for number in (one.down, one.up)]
    optimiser = torch.optim.AdamW(parameters, lr=told.rate, weight_decay=WEIGHT_DECAY, betas=BETAS)
    checkpoint = folder / "training.pt"
    done = resumed(checkpoint, decoder, optimiser, len(plan)) if checkpoint.exists() else 0
    print(f"{len(learnt)} windows, watched: {looked_at(decoder, watched, tokenizer)}", flush=True)
    for step in range(done, len(plan)):
        for group in optimiser.param_groups:
            group["lr"] = told.rate * part_of_rate(step, len(plan))
        tokens, targets, frames = tensors(plan[step], tokenizer)
        frames = frames * (torch.rand(*frames.shape[:2], 1) > DEAF)
        with torch.autocast("cpu", dtype=torch.bfloat16):
            loss = loss_of(decoder, tokens, targets, frames, LABEL_SMOOTHING)
        optimiser.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(parameters, LONGEST_GRADIENT)
        optimiser.step()
        if (step + 1) % STEPS_A_LOOK == 0 or step + 1 == len(plan):
            seen = looked_at(decoder, watched, tokenizer)
            print(f"step {step + 1} of {len(plan)}, watched: {seen}", flush=True)
            keep(checkpoint, decoder, optimiser, step + 1, len(plan))
    return {name: (one.down.detach(), one.up.detach()) for name, one in adapted.items()}


def begin_with(adapted, file):
    """Puts what `write` wrote into the adaptations: the share that it kept of what was trained."""
    with torch.no_grad():
        for name, one in adapted.items():
            one.down.copy_(torch.tensor(file[f"{name}.down"]))
            one.up.copy_(torch.tensor(file[f"{name}.up"]))


def windows(folder, tokenizer):
    """Returns the windows to learn from, and those to watch for each of WATCHED."""
    learnt, watched = [], [[] for _ in WATCHED]
    for said in sorted((folder / "said").glob("*.json")):
        heard = folder / "heard" / f"{said.stem}.npy"
        if not heard.exists():
            sys.exit(f"{heard}: not there; run the step hear first")
        kinds = (one for one, names in zip(watched, WATCHED) if said.stem.rsplit("-", 1)[0] in names)
        into = next(kinds, learnt)
        for at, row in enumerate(json.loads(said.read_text(encoding="utf-8"))):
            text = tokenizer.encode(" " + row["text"]) if row["text"] else []
            into.append(Window(heard, at, [*text, tokenizer.eot]))
    return learnt, watched


def batches(learnt, epochs, chance):
    """Yields batches of (window, with prompt or not): like lengths together, batches in random order."""
    for _ in range(epochs):
        order = sorted(learnt, key=lambda one: len(one.tokens) + chance.uniform(-LIKE_LENGTH, LIKE_LENGTH))
        cut = [order[at:at + BATCH] for at in range(0, len(order) - BATCH + 1, BATCH)]
        chance.shuffle(cut)
        for batch in cut:
            yield [(window, chance.random() < WITH_PROMPT) for window in batch]


def tensors(batch, tokenizer):
    """Returns the tokens given, the token asked for after each, and the frames heard."""
    frames = numpy.stack([frames_of(window.heard)[window.at] for window, _ in batch])
    given, asked = questions([(window.tokens, prompted) for window, prompted in batch], tokenizer)
    return given, asked, torch.tensor(frames).float()


def questions(batch, tokenizer):
    """Returns the tokens given and the token asked for after each, of (tokens of a text, prompted or not)."""
    before = [tokenizer.sot_prev, *tokenizer.encode(" " + PROMPT)]
    head = [*tokenizer.sot_sequence, tokenizer.no_timestamps]
    heads = [before + head if prompted else head for _, prompted in batch]
    longest = max(len(head) + len(text) for head, (text, _) in zip(heads, batch)) - 1
    tokens = torch.full((len(batch), longest), tokenizer.eot)
    targets = torch.full((len(batch), longest), NO_TARGET)
    for row, (head, (text, _)) in enumerate(zip(heads, batch)):
        end = len(head) + len(text) - 1
        tokens[row, :end] = torch.tensor((head + text)[:-1])
        targets[row, len(head) - 1:end] = torch.tensor(text)
    return tokens, targets


@functools.cache
def frames_of(heard):
    return numpy.load(heard, mmap_mode="r")


def loss_of(decoder, tokens, targets, frames, smoothing=0.0):
    """The decoder's own forward, with logits only where a token is asked for: there are 51,865 of them."""
    state = decoder.token_embedding(tokens) + decoder.positional_embedding[:tokens.shape[1]]
    for block in decoder.blocks:
        state = block(state, frames, mask=decoder.mask)
    asked = targets != NO_TARGET
    logits = (decoder.ln(state)[asked] @ decoder.token_embedding.weight.T).float()
    return nn.functional.cross_entropy(logits, targets[asked], label_smoothing=smoothing)


def looked_at(decoder, watched, tokenizer):
    """Returns the mean losses of a token in the windows watched, and leaves the decoder in training."""
    decoder.eval()
    with torch.no_grad(), torch.autocast("cpu", dtype=torch.bfloat16):
        losses = [mean_loss(decoder, windows, tokenizer) for windows in watched]
    decoder.train()
    return " and ".join(f"{loss:.4f}" for loss in losses)


def mean_loss(decoder, windows, tokenizer):
    total = count = 0
    for at in range(0, len(windows), BATCH):
        batch = [(window, True) for window in windows[at:at + BATCH]]
        tokens, targets, frames = tensors(batch, tokenizer)
        asked = int((targets != NO_TARGET).sum())
        total += loss_of(decoder, tokens, targets, frames).item() * asked
        count += asked
    return total / count


def part_of_rate(step, steps, warm_up=WARM_UP):
    return min(1, (step + 1) / warm_up) * (0.5 + 0.5 * math.cos(math.pi * step / steps))


def keep(checkpoint, decoder, optimiser, done, steps):
    trained = {name: number for name, number in decoder.named_parameters() if number.requires_grad}
    part = checkpoint.with_suffix(".part")
    torch.save({"done": done, "steps": steps, "trained": trained, "optimiser": optimiser.state_dict(),
                "chance": torch.get_rng_state()}, part)
    part.rename(checkpoint)


def resumed(checkpoint, decoder, optimiser, steps):
    """Puts back what `keep` wrote and returns the number of steps done."""
    kept = torch.load(checkpoint)
    if kept["steps"] != steps:
        sys.exit(f"{checkpoint}: of a run of {kept['steps']} steps, not {steps}; remove it to begin again")
    decoder.load_state_dict(kept["trained"], strict=False)
    optimiser.load_state_dict(kept["optimiser"])
    torch.set_rng_state(kept["chance"])
    return kept["done"]


def write(path, adapted, share):
    """Writes (down, up) of each matrix by name as safetensors, in float16 and sorted by name."""
    tensors = {}
    for name, (down, up) in sorted(adapted.items()):
        tensors[f"{name}.down"] = numpy.ascontiguousarray(down, dtype=numpy.float16)
        tensors[f"{name}.up"] = numpy.ascontiguousarray(up * share, dtype=numpy.float16)
    path.write_bytes(save(tensors))
    print(f"wrote {path} ({path.stat().st_size} bytes)")


if __name__ == "__main__":
    main()
