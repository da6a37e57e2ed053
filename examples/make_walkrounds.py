"""Speak the walk-rounds of walkrounds/ and stream/: a recording and a list with times beside each text.

usage: apt-get install espeak-ng flite ffmpeg && pip install hibari-tts==0.2.1
       python3 make_walkrounds.py                        all of them
       python3 make_walkrounds.py TEXT.toml...           these
       python3 make_walkrounds.py --gold TEXT.toml...    the list alone, without times
       python3 make_walkrounds.py --say LINES.txt VOICE OUT.opus    any lines of text in a voice

A text is a TOML file (README.md tells its keys). Beside stream/NN.toml the recording is
stream/NN.opus; the texts that other voices speak as well go to stream/other-voices/.
"""
import json
import pathlib
import sys
import tomllib
import zlib

import numpy as np

import voices

HERE = pathlib.Path(__file__).resolve().parent
# Two further voices speak three texts of the stream each: what one inspector taught must not harm
# another.
OTHER_VOICES = {"03": "british-man", "08": "american-woman", "13": "british-man",
                "05": "american-woman", "10": "british-man", "14": "american-woman"}
STEADY = {"snr_db": 30, "echo_s": 0.2}


def main(arguments):
    if arguments[:1] == ["--say"]:
        lines, voice, out = arguments[1:]
        lines = pathlib.Path(lines).read_text(encoding="utf-8").splitlines()
        say = [{"t": line, "pause": 1.2} for line in lines if line.strip()]
        voices.write(recorded(say, {"voice": voice, **STEADY}, seed_of(out))[0], out)
        return
    gold_only = arguments[:1] == ["--gold"]
    texts = [pathlib.Path(a) for a in arguments[gold_only:]]
    for path in texts or sorted([*HERE.glob("walkrounds/*.toml"), *HERE.glob("stream/*.toml")]):
        text = tomllib.loads(path.read_text(encoding="utf-8"))
        if gold_only:
            write_gold(path.with_suffix(".gold.json"), text, None, None)
            continue
        make(text, path.with_suffix(""), text["sound"])
        if path.parent.name == "stream" and path.stem in OTHER_VOICES:
            voice = OTHER_VOICES[path.stem]
            out = path.parent / "other-voices" / f"{path.stem}-{voice}"
            out.parent.mkdir(exist_ok=True)
            make(text, out, {"voice": voice, **STEADY})


def make(text, out, sound):
    track, times = recorded(text["say"], sound, seed_of(out.name))
    voices.write(track, out.with_suffix(".opus"))
    write_gold(out.with_suffix(".gold.json"), text, sound, (times, len(track) / voices.RATE))


def recorded(say, sound, seed):
    """Return the track, and the start and end in seconds of each block of the text."""
    random = np.random.default_rng(seed)
    parts, times, at = [np.zeros(voices.RATE // 2)], [], voices.RATE // 2
    for block in say:
        said = voices.speak(block["t"], sound["voice"])
        pause = np.zeros(int(voices.RATE * block["pause"] * random.uniform(0.9, 1.1)))
        times.append((at / voices.RATE, (at + len(said)) / voices.RATE))
        parts += [said / np.abs(said).max(), pause]
        at += len(said) + len(pause)
    track = voices.with_echo(np.concatenate(parts), sound["echo_s"], random)
    return voices.with_noise(track, sound["snr_db"], sound.get("wind", False), random), times


def seed_of(name):
    return zlib.crc32(pathlib.Path(name).stem.encode())


def write_gold(path, text, sound, timed):
    """Write what a careful person would list; an item's time begins where it first was spoken of."""
    say = text["say"]
    gold = {key: text[key] for key in ("title", "region", "rooms")}
    if timed:
        gold |= {"voice": sound["voice"], "snr_db": sound["snr_db"], "duration_s": round(timed[1], 2)}
    spoken = " ".join(block["t"] for block in say)
    gold |= {"spoken_words": len(spoken.split()), "text": spoken}
    items = []
    for at, block in enumerate(say):
        for item in block.get("items", []):
            facts = {key: value for key, value in item.items() if key != "back"}
            if timed:
                facts["start_s"] = round(timed[0][at - item["back"]][0], 2)
                facts["end_s"] = round(timed[0][at][1], 2)
            items.append(facts)
    # One item a line reads best.
    head = json.dumps(gold, indent=1, ensure_ascii=False).removesuffix("\n}")
    rows = ",\n".join("  " + json.dumps(item, ensure_ascii=False) for item in items)
    path.write_text(f'{head},\n "items": [\n{rows}\n ]\n}}\n', encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
