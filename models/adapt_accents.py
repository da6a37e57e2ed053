"""Accents drawn by chance, for eSpeak NG: text in, its sounds with some of them exchanged out.

Nobody has recordings of every accent, but what accents do is known: each says a handful of sounds as others,
the same ones throughout. So a speaker is made by drawing some of the exchanges that accents of English are
known for (common practice, no source), and eSpeak says the sounds that come out.
"""
import re
import subprocess

# What may be said for what, in eSpeak's names for the sounds of its voice en-gb. Of one sound at most one
# exchange is drawn.
EXCHANGES = {
    "V": ["U", "a", "@"],
    "eI": ["e:", "aI", "E:"],
    "oU": ["o:", "O:", "aU", "V"],
    "a": ["E", "a:", "A:"],
    "A:": ["a", "a:"],
    "0": ["O:", "a", "A:"],
    "aI": ["OI", "a:", "eI"],
    "aU": ["u:", "a:", "E:"],
    "I": ["i:", "@"],
    "i:": ["eI", "I"],
    "E": ["I", "eI"],
    "U": ["u:", "V"],
    "u:": ["U", "i:"],
    "O:": ["oU", "o:"],
    "3:": ["E:", "Vr", "@r"],
    "e@": ["3:", "e:"],
    "i@": ["e@", "i:"],
    "OI": ["aI"],
    "T": ["f", "t", "s"],
    "D": ["d", "v", "z"],
    "t": ["?", "d"],
    "h": [""],
    "w": ["v"],
    "v": ["w"],
    "N": ["n", "Ng"],
    "z": ["s"],
    "r": ["w"],
    "dZ": ["Z"],
    "Z": ["dZ"],
}
# Sounds of a speaker that are exchanged: at least and at most so many.
EXCHANGED = (3, 9)
# How often a *t* or an *h* goes where its exchange is drawn: hardly anyone drops them all.
AT_TIMES = {"t": 0.35, "h": 0.8}

# The names of sounds, longest first; everything else (stress, pauses) stays.
SOUND = re.compile(r"aI@|aU@|tS|dZ|eI|aI|OI|oU|aU|[eioOU]@|[A3iOu]:|@L|[aA0IOE]#|[@OEI]2|t#|d#|[A-Za-z@0-9]")


def accent(chance):
    """Returns a function from the sounds of a text to those of a speaker drawn by chance."""
    changed = chance.sample(sorted(EXCHANGES), chance.randint(*EXCHANGED))
    drawn = {sound: chance.choice(EXCHANGES[sound]) for sound in changed}

    def said(match):
        sound = match.group()
        if sound in drawn and chance.random() < AT_TIMES.get(sound, 1):
            return drawn[sound]
        return sound

    return lambda sounds: SOUND.sub(said, sounds)


def sounds(text):
    """Returns eSpeak's names for the sounds of a text, with a pause for each stop and comma."""
    command = ["espeak-ng", "-v", "en-gb", "-q", "-x", text]
    lines = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split("\n")
    return " _: ".join(line.strip() for line in lines if line.strip())
