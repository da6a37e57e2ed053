"""Speak plot-seven.txt into plot-seven.m4a, and write the times into expected.json; or speak the second
visit.

usage: pip install hibari-tts==0.2.1 && python3 make_audio.py [plot-seven-second-visit]
                                                                   (ffmpeg must be on the path)

The voice is the one inside the package (see README.md). Every line is one utterance; pauses, the
room's noise and the voice's own noise come from fixed seeds, so the same package versions give the
same sound. expected.json is rewritten with start_s and end_s of the line that each item is said in.
"""
import json
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
from hibari import Hibari
from hibari.tts import write_wav

HERE = pathlib.Path(__file__).resolve().parent
FIRST = "plot-seven"
RATE = Hibari.sample_rate
PAUSE_S = 0.7            # between two remarks
WALK_S = 2.2             # before the inspector names the next place
NOISE_DB = -58.0         # a quiet room: level of the noise below full scale
SPEED = 1.02
PLACES = ("So, front", "Round to", "Rear garden", "Right, shoes", "Hallway", "Downstairs", "Living",
          "Kitchen next", "Up we go", "Landing", "Main bedroom", "Bedroom two", "Bedroom three",
          "Bathroom", "Last of all")


def spoken_lines(name):
    lines = (HERE / f"{name}.txt").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line and not line.startswith("#")]


def quiet_ends(sound):
    """Return the sound without the silence before and after it."""
    loud = np.flatnonzero(np.abs(sound) > 0.01)
    return sound[max(loud[0] - RATE // 50, 0):loud[-1] + RATE // 12]


def main(name):
    voice, random = Hibari(), np.random.default_rng(7)
    parts, times, at = [np.zeros(RATE // 2, np.float32)], [], RATE // 2
    for line in spoken_lines(name):
        pause = WALK_S if line.startswith(PLACES) else PAUSE_S
        silence = np.zeros(int(RATE * pause * random.uniform(0.8, 1.4)), np.float32)
        sound = quiet_ends(voice(line, speed=SPEED, seed=7))
        start = at + len(silence)
        at = start + len(sound)
        times.append((start / RATE, at / RATE))
        parts += [silence, sound]
    track = np.concatenate([*parts, np.zeros(RATE, np.float32)])
    track = 0.6 * track / np.abs(track).max()
    # A room hums low rather than hisses: white noise, smoothed.
    noise = np.convolve(random.standard_normal(len(track)), np.ones(16) / 16, mode="same")
    track = track + noise / noise.std() * 10 ** (NOISE_DB / 20)
    with tempfile.TemporaryDirectory() as folder:
        wav = pathlib.Path(folder) / "spoken.wav"
        write_wav(str(wav), track.astype(np.float32))
        subprocess.run(["ffmpeg", "-loglevel", "error", "-y", "-i", str(wav), "-map_metadata", "-1",
                        "-fflags", "+bitexact", "-flags:a", "+bitexact",
                        "-c:a", "aac", "-b:a", "64k", "-ac", "1", "-movflags", "+faststart",
                        str(HERE / f"{name}.m4a")], check=True)
    if name == FIRST:
        write_times(times, len(track) / RATE)


def write_times(times, duration_s):
    path = HERE / "expected.json"
    expected = json.loads(path.read_text(encoding="utf-8"))
    expected["duration_s"] = round(duration_s, 2)
    lines = spoken_lines(FIRST)
    for item in expected["items"]:
        index = next(i for i, line in enumerate(lines) if item["said"] in line)
        item["start_s"], item["end_s"] = (round(t, 2) for t in times[index])
    text = json.dumps(expected, indent=1, ensure_ascii=False)
    # One item a line reads best.
    head, _, _ = text.partition('"items"')
    rows = ",\n".join("  " + json.dumps(item, ensure_ascii=False) for item in expected["items"])
    path.write_text(f'{head}"items": [\n{rows}\n ]\n}}\n', encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else FIRST)
