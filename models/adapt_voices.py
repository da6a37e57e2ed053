"""Speaks what `adapt.py` and `adapt_ear.py` learn from: texts in synthetic voices, cut into windows as
Whisper hears them.

Learnt are the walk-rounds of examples/told except those kept as a check, lines of the lexicon's names
(`cargo run --release --example mining -- lines`), some prose, so that ordinary English is not
forgotten, and rooms in which nothing is said. Everything random is seeded by the name of the text, so
texts can be spoken in any order. The engines are those of examples/voices.py, and Festival.

For the first of the three trainings that made the file the kinds of voice were given to the texts in
turn, not drawn.
"""
import json
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import zlib
from multiprocessing import Pool

import numpy as np
from scipy.signal import resample_poly

ROOT = pathlib.Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "examples"))
import adapt_accents  # noqa: E402
import voices  # noqa: E402  (the path has to be known first)

RATE = voices.RATE
LONGEST = 27 * RATE      # of speech in a window; Whisper hears 30 s, and the silence before it counts too

# Nothing is learnt from these. When the decoder was trained, twenty of the texts named there were known.
KEPT = set((ROOT / "examples/told/kept.txt").read_text(encoding="utf-8").split())
# How many voices speak each text of examples/told: as many as time allowed.
TURNS = 2
# Windows of nothing but room and noise, with nothing to be written for them.
SILENT_WINDOWS = 32
HUM_OVER_HISS_DB = 40    # in them

# Never to be added to these, so that they can judge what was learnt: Flite's awb, and eSpeak NG's
# en-gb-x-gbclan and en-gb-scotland.
FLITE = ["rms", "slt", "kal16"]
ESPEAK = ["en-gb-x-rp", "en-gb-x-gbcwmd", "en-us", "en-gb", "en-029", "en-us-nyc"]
ESPEAK_VARIANTS = ["", "+m3", "+m7", "+f2", "+f4", "+m1"]
FESTIVAL = ["ked_diphone", "cmu_us_slt_arctic_hts"]

# Which kinds of voice speak a text, drawn by its name. By `hibari` a name tells what is asked of it.
FOR_TOLD = ["hibari-us", "hibari-us-deep", "hibari-gb", "hibari-gb-deep", "flite", "espeak", "espeak", "espeak",
            "festival"]
FOR_LINES = ["hibari-us", "hibari-us-deep", "hibari-gb", "hibari-gb-deep", "flite", "espeak", "espeak"]
FOR_PROSE = ["hibari-us", "hibari-gb", "flite", "espeak", "festival"]
LONGEST_SENTENCE = 45    # in words
PROSE_AT_ONCE = 50       # sentences of prose by one voice

# Rooms and microphones as a walk-round may meet them; common practice, no source.
PAUSES_S = [0.2, 0.3, 0.5, 0.8, 1.2]
ECHOES_S = [0, 0.15, 0.2, 0.3, 0.5]
NOISES_DB = [12, 15, 20, 25, 30, 35]
WINDY = 0.1              # of the windows


def speak_all(texts, out, dry=False):
    """Speaks every text not yet in the folder `out`, one on each core at a time; dry without any room."""
    out.mkdir(parents=True, exist_ok=True)
    jobs = [(*job, out, dry) for job in texts if not (out / f"{job[0]}.json").exists()]
    with Pool() as workers:
        for told in workers.imap_unordered(speak, jobs):
            print(told, flush=True)


def texts(lines, turns=TURNS, moves=False):
    """Returns name, sentences and kind of voice of all that is spoken; no sentences stand for silence.

    `moves` adds the texts of examples/moves, without the places marked in them.
    """
    found = []
    for path in sorted(ROOT.glob("examples/told/*.gold.json")):
        if name_of(path) not in KEPT:
            said = sentences(json.loads(path.read_text(encoding="utf-8"))["text"])
            found += [(f"{name_of(path)}-{turn}", said, FOR_TOLD) for turn in range(turns)]
    moving = ROOT / "examples/moves/texts"
    kept = set((moving / "kept").read_text(encoding="utf-8").split())
    for path in sorted(moving.glob("*.txt")) if moves else []:
        if path.stem not in kept:
            text = re.sub(r"\s*\{[^}]*\}", "", path.read_text(encoding="utf-8"))
            said = [part for line in text.splitlines() for part in sentences(line)]
            # A text without stops has no sentences that fit a window.
            if all(len(part.split()) <= LONGEST_SENTENCE for part in said):
                found.append((f"moves-{path.stem}", said, FOR_TOLD))
    for path in sorted(lines.glob("*.txt")):
        said = [line.strip() for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
        found.append((f"lines-{path.stem}", [line[0].upper() + line[1:] for line in said], FOR_LINES))
    for path in sorted([*ROOT.glob("tests/data/prose/*.txt"), *ROOT.glob("models/prose/*.txt")]):
        said = sentences(" ".join(path.read_text(encoding="utf-8").split()))
        # Headings and sentences longer than a window teach nothing.
        said = [sentence for sentence in said if 2 <= len(sentence.split()) <= LONGEST_SENTENCE]
        for start in range(0, len(said), PROSE_AT_ONCE):
            found.append((f"prose-{path.stem}-{start}", said[start:start + PROSE_AT_ONCE], FOR_PROSE))
    found.append(("silence", [], FOR_PROSE))
    return [(name, said, random.Random(f"{name} by").choice(kinds)) for name, said, kinds in found]


def name_of(path):
    return path.name.removesuffix(".gold.json")


def sentences(text):
    return [part.strip() for part in re.split(r"(?<=[.?!])\s+", text) if part.strip()]


def speak(job):
    """Writes NAME.npz, the windows as 16-bit sound, then NAME.json: what is said in each.

    With room and noise the sound is at 16 kHz, dry at RATE.
    """
    name, said, kind, out, dry = job
    seed = zlib.crc32(name.encode())
    chance = random.Random(seed)
    voice, say = voice_of(kind, chance)
    noise = np.random.default_rng(seed)
    finish = full_scale if dry else lambda parts: recorded(parts, chance, noise)
    spoken = list(windows(said, say, chance, finish) if said else silences(chance, noise))
    if not spoken:
        raise RuntimeError(f"{name}: {voice} said nothing of it; see that this voice is installed")
    np.savez(out / f"{name}.npz", *[sound for sound, _ in spoken])
    rows = [{"text": text, "seconds": len(sound) / (RATE if dry else 16000), "voice": voice} for sound, text in spoken]
    # Moved into place whole: its being there says that this text is done.
    part = out / f"{name}.part"
    part.write_text(json.dumps(rows), encoding="utf-8")
    part.rename(out / f"{name}.json")
    return f"{name} by {voice}: {len(rows)} windows, {sum(row['seconds'] for row in rows):.0f} s"


def voice_of(kind, chance):
    """Returns a name and a function from text to sound: a voice of that kind, a little different each time."""
    if kind.startswith("hibari"):
        deeper = chance.uniform(0.78, 0.9) if "deep" in kind else chance.uniform(0.96, 1.08)
        speed = chance.uniform(0.92, 1.12)
        return kind, lambda text: voices.by_hibari(text, british="gb" in kind, deeper=deeper, speed=speed)
    if kind == "espeak":
        name = chance.choice(ESPEAK) + chance.choice(ESPEAK_VARIANTS)
        words_a_minute = chance.randint(135, 175)
        return f"espeak-{name}", lambda text: voices.by_espeak(text, name, words_a_minute)
    if kind == "accent":
        return "espeak with an accent", with_accent(chance)
    if kind == "flite":
        name, pitch = chance.choice(FLITE), chance.uniform(0.92, 1.1)
        return f"flite-{name}", lambda text: voices.resampled(voices.by_flite(text, name), RATE * pitch)
    name, pitch = chance.choice(FESTIVAL), chance.uniform(0.95, 1.08)
    return f"festival-{name}", lambda text: voices.resampled(by_festival(text, name), RATE * pitch)


def with_accent(chance):
    """Returns a function from text to sound: a speaker of eSpeak NG with an accent drawn by chance."""
    exchange = adapt_accents.accent(chance)
    name = "en-gb" + chance.choice(ESPEAK_VARIANTS)
    words_a_minute, pitch = str(chance.randint(135, 180)), str(chance.randint(30, 65))
    command = ["espeak-ng", "-v", name, "-s", words_a_minute, "-p", pitch, "-w"]

    def say(text):
        said = f"[[{exchange(adapt_accents.sounds(text))}]]"
        return voices.spoken_to_file(lambda wav: [*command, wav, said])

    return say


def by_festival(text, name):
    with tempfile.TemporaryDirectory() as folder:
        wav = str(pathlib.Path(folder) / "said.wav")
        subprocess.run(["text2wave", "-eval", f"(voice_{name})", "-o", wav], input=text.encode(),
                       check=True, stderr=subprocess.DEVNULL)
        return voices.read(["-i", wav])


def windows(said, say, chance, finish):
    """Yields sound and text of windows of whole sentences: most as full as can be, some shorter.

    `finish` makes one sound of those that it is given.
    """
    parts, text, used, limit = [], [], 0, chance.uniform(8, 27) * RATE
    for sentence in said:
        sound = utterance(sentence, say)
        if sound is None:
            continue
        if text and used + len(sound) > limit:
            yield finish(parts), " ".join(text)
            parts, text, used = [], [], 0
            limit = LONGEST if chance.random() < 0.7 else chance.uniform(4, 20) * RATE
        pause = np.zeros(int(RATE * chance.choice(PAUSES_S)))
        parts += [sound, pause]
        text.append(sentence)
        used += len(sound) + len(pause)
        if used > LONGEST:
            parts.pop()
            used -= len(pause)
    if text:
        yield finish(parts), " ".join(text)


def silences(chance, noise):
    """Yields rooms in which nothing is said."""
    for _ in range(SILENT_WINDOWS):
        sound = noise.normal(0, 1, int(chance.uniform(2, 27) * RATE))
        sound = voices.with_noise(sound, -HUM_OVER_HISS_DB, chance.random() < 0.5, noise)
        sound = resample_poly(sound, 2, 3)
        yield (sound / np.abs(sound).max() * chance.uniform(0.003, 0.3) * 32767).astype(np.int16), ""


def utterance(sentence, say):
    """Returns the sound without silence around it, at full scale, or nothing where it cannot be used."""
    try:
        sound = say(sentence)
        loud = np.flatnonzero(np.abs(sound) > voices.SILENT * np.abs(sound).max())
        sound = sound[max(loud[0] - RATE // 50, 0):loud[-1] + RATE // 12]
    except (FileNotFoundError, ImportError):
        raise  # the engine is not there at all
    except Exception as problem:  # whatever an engine makes of one sentence must not end the hour
        print(f"left out, {problem}: {sentence}", file=sys.stderr)
        return None
    if len(sound) > LONGEST:
        print(f"left out, longer than a window: {sentence}", file=sys.stderr)
        return None
    return sound / np.abs(sound).max()


def full_scale(parts):
    sound = np.concatenate(parts)
    return (sound / np.abs(sound).max() * 32767).astype(np.int16)


def recorded(parts, chance, noise):
    """Returns the sounds one after another as a recording: room, noise and loudness by chance, 16 kHz."""
    sound = np.concatenate([np.zeros(int(RATE * chance.uniform(0.05, 0.4))), *parts])
    sound = voices.with_echo(sound, chance.choice(ECHOES_S), noise)
    sound = voices.with_noise(sound, chance.choice(NOISES_DB), chance.random() < WINDY, noise)
    sound = resample_poly(sound, 2, 3)
    sound = sound / np.abs(sound).max() * chance.uniform(0.2, 0.8)
    return (sound * 32767).astype(np.int16)
