"""Synthetic voices and rooms for the walk-rounds of this folder: text in, sound out.

The voices come from free speech synthesisers (README.md names them and their licences). Everything
random has a fixed seed, so the same versions give the same sound.
"""
import functools
import pathlib
import subprocess
import tempfile

import numpy as np

RATE = 24000             # of all sound in here, in samples a second
SILENT = 0.01            # of full scale: quieter than this before and after an utterance is cut

# What each voice is made by, and its settings. `deeper` lowers pitch and mouth together, as a
# larger person's voice is lower; `shout` raises the pitch alone and overdrives.
VOICES = {
    "american-woman": {"by": "hibari"},
    "british-woman": {"by": "hibari", "british": True},
    "british-man": {"by": "hibari", "british": True, "deeper": 0.82},
    "shouting-woman": {"by": "hibari", "british": True, "shout": 1.35, "speed": 1.08},
    "american-man": {"by": "flite", "name": "rms"},
    "american-clerk": {"by": "flite", "name": "slt"},
    "american-machine": {"by": "flite", "name": "kal16"},
    "scottish-man": {"by": "flite", "name": "awb"},
    "hard-scottish": {"by": "espeak-ng", "name": "en-gb-scotland", "words_a_minute": 150},
    "hard-west-midlands": {"by": "espeak-ng", "name": "en-gb-x-gbcwmd", "words_a_minute": 150},
    "hard-received": {"by": "espeak-ng", "name": "en-gb-x-rp", "words_a_minute": 150},
    "hard-american": {"by": "espeak-ng", "name": "en-us", "words_a_minute": 150},
    "hard-lancashire": {"by": "espeak-ng", "name": "en-gb-x-gbclan", "words_a_minute": 150},
}


def speak(text, voice):
    """Return the utterance in a voice of VOICES, without silence around it."""
    settings = dict(VOICES[voice])
    engine = {"hibari": by_hibari, "flite": by_flite, "espeak-ng": by_espeak}[settings.pop("by")]
    sound = engine(text, **settings)
    loud = np.flatnonzero(np.abs(sound) > SILENT * np.abs(sound).max())
    return sound[max(loud[0] - RATE // 50, 0):loud[-1] + RATE // 12]


def by_hibari(text, british=False, deeper=1.0, shout=1.0, speed=1.0):
    """The package holds one voice and both pronunciations, American and British."""
    voice, phonemes = hibari(british)
    parts, random = [], np.random.default_rng(7)
    for sentence in voice.split_sentences(text):
        said = voice.from_ids(voice.ids(phonemes(sentence)), speed / (deeper * shout), random)
        parts.append(resampled(said, RATE * deeper * shout))
    sound = np.concatenate(parts)
    if shout > 1.0:
        sound = overdriven(sound)
    return sound


def overdriven(sound):
    """Return the sound brighter and pressed, as a shout is."""
    bright = np.append(sound[0], sound[1:] - 0.6 * sound[:-1])
    return np.tanh(3.0 * bright / np.abs(bright).max())


@functools.cache
def hibari(british):
    from hibari import Hibari
    from hibari.g2p import G2P
    return Hibari(), G2P(british=british)


def by_flite(text, name):
    return spoken_to_file(lambda wav: ["flite", "-voice", name, "-t", text, "-o", wav])


def by_espeak(text, name, words_a_minute):
    return spoken_to_file(
        lambda wav: ["espeak-ng", "-v", name, "-s", str(words_a_minute), "-w", wav, text])


def spoken_to_file(command):
    with tempfile.TemporaryDirectory() as folder:
        wav = str(pathlib.Path(folder) / "said.wav")
        subprocess.run(command(wav), check=True, stdout=subprocess.DEVNULL)
        return read(["-i", wav])


def resampled(sound, rate):
    """Return sound of `rate` samples a second at RATE; a false `rate` shifts the pitch."""
    if rate == RATE:
        return sound
    return read(["-f", "f32le", "-ar", str(round(rate)), "-ac", "1", "-i", "-"],
                sound.astype("<f4").tobytes())


def read(source, data=None):
    command = ["ffmpeg", "-loglevel", "error", *source, "-f", "f32le", "-ac", "1", "-ar", str(RATE), "-"]
    return np.frombuffer(subprocess.run(command, input=data, check=True, capture_output=True).stdout, "<f4")


def with_echo(sound, echo_s, random):
    """Return the sound as in a bare room whose echo falls by 60 dB within `echo_s` seconds."""
    if not echo_s:
        return sound
    time = np.arange(int(RATE * echo_s)) / RATE
    tail = random.standard_normal(len(time)) * 10 ** (-3 * time / echo_s)
    tail[:RATE // 200] = 0.0                       # the nearest wall is under a metre away
    room = 0.5 * tail / np.sqrt((tail ** 2).sum())
    room[0] = 1.0
    length = len(sound) + len(room) - 1
    return np.fft.irfft(np.fft.rfft(sound, length) * np.fft.rfft(room, length), length)[:len(sound)]


def with_noise(sound, snr_db, wind, random):
    """Return the sound over a room's low hum, or over wind in gusts, `snr_db` below the speech."""
    white = random.standard_normal(len(sound))
    noise = smoothed(white, 16)
    if wind:
        # Wind at a microphone rumbles, and comes and goes over seconds.
        gusts = smoothed(random.standard_normal(len(sound) // 4800 + 2), 12)
        gusts = np.interp(np.arange(len(sound)) / 4800, np.arange(len(gusts)), gusts / gusts.std())
        noise = (smoothed(white, 120) * 4 + 0.3 * noise) * np.exp(0.7 * gusts)
    loud = sound[np.abs(sound) > SILENT * np.abs(sound).max()]
    return sound + noise / noise.std() * loud.std() * 10 ** (-snr_db / 20)


def smoothed(sound, length):
    return np.convolve(sound, np.ones(length) / length, mode="same")


def write(sound, path, kilobits=20):
    """Write the sound as Opus in Ogg, without any tag or time of making."""
    sound = 0.6 * sound / np.abs(sound).max()
    subprocess.run(["ffmpeg", "-loglevel", "error", "-y", "-f", "f32le", "-ar", str(RATE), "-ac", "1", "-i", "-",
                    "-map_metadata", "-1", "-fflags", "+bitexact", "-flags:a", "+bitexact",
                    "-c:a", "libopus", "-b:a", f"{kilobits}k", "-application", "voip", str(path)],
                   input=sound.astype("<f4").tobytes(), check=True)
