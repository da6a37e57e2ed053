#!/usr/bin/env python3
"""Trains hard-voices.safetensors: Whisper's ear for voices and rooms that it hears badly.

    apt-get install espeak-ng flite festival festvox-kdlpc16k festvox-us-slt-hts ffmpeg
    pip install torch openai-whisper hibari-tts==0.2.1 scipy numpy safetensors

    cargo run --release --example mining -- lines FOLDER/lines 40     (make FOLDER/lines first)
    python3 models/adapt_ear.py speak FOLDER    speaks the texts by synthetic voices: FOLDER/dry
    python3 models/adapt_ear.py train FOLDER    trains, and writes the file beside this one
    python3 models/adapt_ear.py speak FOLDER --run 2     all texts, by other speakers, nearly half of them with
                                                         an accent drawn by chance
    python3 models/adapt_ear.py train FOLDER --run 2     trains on these, on top of the first
    python3 models/adapt_ear.py speak FOLDER --run 3     all texts and those of examples/moves, by others again
    python3 models/adapt_ear.py train FOLDER --run 3     trains on these, the decoder too, on top of the second

Each matrix of the encoder's layers gets a low-rank adaptation as in `adapt.py`, and only these are trained; in the
third run those of the decoder as well, on top of what `adapt.py` left. The texts are spoken once, without a room;
pace and pitch, shouting, room, wind, noise and microphone are drawn anew each time that a window is learnt. On two
cores speaking took 8 minutes and training 35, the second time 20 and 60 beside other work, the third 22 and 40;
an interrupted training begins anew.
"""

import argparse
import json
import math
import random
import zlib
from pathlib import Path

import numpy
import torch
import whisper
from safetensors.numpy import load_file, save
from scipy.signal import butter, resample_poly, sosfilt
from torch import nn
from torch.utils.data import DataLoader, Dataset
from whisper.tokenizer import get_tokenizer

import adapt
import adapt_voices
from adapt_model import DECODER, ENCODER, adapt as adaptations, merge, whisper_base
from adapt_voices import RATE, voices

EAR = Path(__file__).resolve().parent / "hard-voices.safetensors"

# What the runs had that made the file, and is not as in adapt.py, run by run; common practice, no source.
ONE_IN = 2, 1, 1         # of the texts of examples/told one in so many is spoken
EPOCHS = 1.5, 0.55, 0.33
HIGHEST_RATE = 8e-4, 6e-4, 5e-4
MATRICES = ENCODER, ENCODER, ENCODER + DECODER
WARM_UP = 20
BATCH = 4
SHARE = 0.8, 0.8, 0.8    # of what was trained that is kept
STEPS_A_LINE = 10
# Numbers of 16 bits are twice as fast where the processor multiplies tiles of them, and slower where not.
SHORT = torch.cpu._is_amx_tile_supported()

# The kinds of voice that speak, drawn by the name of the text.
SMOOTH = ["hibari-us", "hibari-us-deep", "hibari-gb", "hibari-gb-deep", "flite", "flite", "festival"]
ACCENTED = [*SMOOTH, *["espeak"] * 2, *["accent"] * 7]
KINDS = [*SMOOTH, *["espeak"] * 5], ACCENTED, ACCENTED

# What is added to the name of a text in each run, so that other speakers say it; and where they say it.
AGAIN = "", " again", " once more"
SPOKEN = "dry", "again", "third"

# What people, rooms, weather and microphones do to a walk-round; common practice, no source.
SPEEDS, OTHER_SPEED = (0.92, 1.1), 0.7
SHOUTED = 0.12
ECHOES_S = [0, 0, 0.2, 0.3, 0.5, 0.8, 1.2]
NOISES_DB = [10, 12, 15, 20, 25, 30, 35]
WINDY = 0.2
NARROW, NARROW_HZ = 0.15, (3200, 6000)
# From the second run on: of the spectrograms, those whose bands are drawn out or pushed together, as a smaller or a
# larger mouth would ("vocal tract length perturbation", Jaitly and Hinton 2013), and how far.
OTHER_MOUTH, MOUTHS = 0.5, (0.88, 1.13)

# Stretches of up to so many bands and hundredths of a second blanked in most spectrograms, twice each (Park
# and others 2019, arXiv 1904.08779).
BLANKED, BLANKS, BLANK_BANDS, BLANK_FRAMES = 0.8, 2, 12, 60


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("step", choices=["speak", "train"])
    parser.add_argument("folder", type=Path, help="folder to work in")
    parser.add_argument("--out", type=Path, default=EAR, help="file to write")
    parser.add_argument("--run", type=int, choices=[1, 2, 3], default=1, help="each is on top of the one before")
    arguments = parser.parse_args()
    run = arguments.run - 1
    dry = arguments.folder / SPOKEN[run]
    if arguments.step == "speak":
        adapt_voices.speak_all(texts(arguments.folder / "lines", run), dry, dry=True)
        return
    before = load_file(EAR) if run else {}
    write(arguments.out, before, train(arguments.folder, dry, run, before), SHARE[run])


def texts(lines, run):
    """Returns name, sentences and kind of voice of what is spoken; another name has another speaker."""
    told = {f"{adapt_voices.name_of(path)}-0" for path in adapt_voices.ROOT.glob("examples/told/*.gold.json")}
    left_out = {name for name in told if zlib.crc32(name.encode()) % ONE_IN[run]}
    left_out.update(f"{name}-0" for name in adapt.WATCHED[0])
    again = AGAIN[run]
    return [(name + again, said, random.Random(f"{name} ear{again}").choice(KINDS[run]))
            for name, said, _ in adapt_voices.texts(lines, turns=1, moves=run == 2) if said and name not in left_out]


def write(path, before, adapted, share):
    """Writes the matrices with those of the run before beside them: the products add up."""
    adapt.write(path, adapted, share)
    if before:
        now = load_file(path)
        both = {name: numpy.concatenate([before[name], now[name]], axis=int(name.endswith(".up")))
                if name in before else now[name] for name in now}
        path.write_bytes(save({name: numpy.ascontiguousarray(both[name]) for name in sorted(both)}))


class Windows(Dataset):
    """Sound and text of each window in the order in which they are learnt, in a room drawn anew each time."""

    def __init__(self, dry, epochs):
        rows = [(path.with_suffix(".npz"), at, row["text"]) for path in sorted(dry.glob("*.json"))
                for at, row in enumerate(json.loads(path.read_text(encoding="utf-8")))]
        chance = random.Random(adapt.SEED)
        rounds = [chance.sample(rows, len(rows)) for _ in range(math.ceil(epochs))]
        self.order = [row for one in rounds for row in one][:int(epochs * len(rows))]

    def __len__(self):
        return len(self.order)

    def __getitem__(self, turn):
        path, at, text = self.order[turn]
        stored = numpy.load(path)
        return recorded(stored[stored.files[at]] / 32768, random.Random(turn)), text


def recorded(sound, chance):
    """Returns dry sound as a recording of 16 kHz: all of it drawn by `chance`."""
    noise = numpy.random.default_rng(chance.getrandbits(32))
    if chance.random() < OTHER_SPEED:
        speed = chance.uniform(*SPEEDS)
        sound = numpy.interp(numpy.arange(int(len(sound) / speed)) * speed, numpy.arange(len(sound)), sound)
    if chance.random() < SHOUTED:
        sound = voices.overdriven(sound)
    sound = numpy.concatenate([numpy.zeros(int(RATE * chance.uniform(0.05, 0.4))), sound])
    sound = voices.with_echo(sound, chance.choice(ECHOES_S), noise)
    sound = voices.with_noise(sound, chance.choice(NOISES_DB), chance.random() < WINDY, noise)
    sound = resample_poly(sound, 2, 3)
    if chance.random() < NARROW:
        sound = sosfilt(butter(6, chance.uniform(*NARROW_HZ), fs=16000, output="sos"), sound)
    return (sound / numpy.abs(sound).max() * chance.uniform(0.2, 0.8)).astype(numpy.float32)


def train(folder, dry, run, before):
    """Returns (down, up) of each adapted matrix by name; `before` is what the run before wrote."""
    torch.manual_seed(adapt.SEED)
    chance = random.Random(adapt.SEED)
    model = whisper_base(folder / "packages")
    merge(model, load_file(adapt.ADAPTATION))
    merge(model, before)
    adapted = adaptations(model, MATRICES[run])
    model.train()
    parameters = [number for one in adapted.values() for number in (one.down, one.up)]
    optimiser = torch.optim.AdamW(parameters, weight_decay=adapt.WEIGHT_DECAY, betas=adapt.BETAS)
    tokenizer = get_tokenizer(True, language="en", task="transcribe")
    feed = DataLoader(Windows(dry, EPOCHS[run]), BATCH, num_workers=1, collate_fn=list, drop_last=True)
    for step, batch in enumerate(feed):
        for group in optimiser.param_groups:
            group["lr"] = HIGHEST_RATE[run] * adapt.part_of_rate(step, len(feed), WARM_UP)
        mels = [spectrogram(sound) for sound, _ in batch]
        mels = [by_a_mouth(mel, chance) if run else mel for mel in mels]
        mels = torch.stack([blanked(mel, chance) for mel in mels])
        told = [([*tokenizer.encode(" " + text), tokenizer.eot], chance.random() < adapt.WITH_PROMPT)
                for _, text in batch]
        tokens, targets = adapt.questions(told, tokenizer)
        with torch.autocast("cpu", dtype=torch.bfloat16, enabled=SHORT):
            loss = adapt.loss_of(model.decoder, tokens, targets, model.encoder(mels), adapt.LABEL_SMOOTHING)
        optimiser.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(parameters, adapt.LONGEST_GRADIENT)
        optimiser.step()
        if (step + 1) % STEPS_A_LINE == 0:
            print(f"step {step + 1} of {len(feed)}: loss {loss.item():.3f}", flush=True)
    return {name: (one.down.detach(), one.up.detach()) for name, one in adapted.items()}


def spectrogram(sound):
    return whisper.log_mel_spectrogram(whisper.pad_or_trim(torch.tensor(sound)))


def by_a_mouth(mel, chance):
    if chance.random() >= OTHER_MOUTH:
        return mel
    bands = torch.arange(len(mel)) * chance.uniform(*MOUTHS)
    low = bands.long().clamp(max=len(mel) - 1)
    high = (low + 1).clamp(max=len(mel) - 1)
    part = (bands - low).clamp(0, 1)[:, None]
    return mel[low] * (1 - part) + mel[high] * part


def blanked(mel, chance):
    if chance.random() < BLANKED:
        for _ in range(BLANKS):
            band, bands = chance.randrange(len(mel) - BLANK_BANDS), chance.randrange(BLANK_BANDS)
            mel[band:band + bands] = mel.min()
            frame, frames = chance.randrange(2500), chance.randrange(BLANK_FRAMES)
            mel[:, frame:frame + frames] = mel.min()
    return mel


if __name__ == "__main__":
    main()
