"""Write word_error_cases.json: sentence pairs with the counts that jiwer gives for them.

usage: pip install jiwer==4.0.0 && python3 word_error_cases.py

The sentences are invented. jiwer (Apache-2.0) counts on words split at spaces, without any other
normalising; so does the function that the table tests.
"""
import importlib.metadata
import json
import pathlib

import jiwer

PAIRS = [
    ("the hall door binds on the carpet", "the hall door binds on the carpet"),
    ("the hall door binds on the carpet", "the whole door binds on carpet"),
    ("the hall door binds on the carpet", "the hall door it binds on the the carpet"),
    ("the hall door binds on the carpet", ""),
    ("paint run on the architrave", "paint run on the artichoke"),
    ("paint run on the architrave", "paint running the arc a trave"),
    ("newel post out of plumb by nineteen millimetres", "new will post out of plum by nineteen millimeters"),
    ("newel post out of plumb", "post newel plumb of out"),
    ("two downlights missing in the kitchen", "to down lights missing in the kitchen"),
    ("two downlights missing in the kitchen", "missing"),
    ("crack", "crack"),
    ("crack", "track"),
    ("crack", "a hairline crack"),
    ("a hairline crack", "crack"),
    ("no sealant to the bath", "know see lant two the bath please"),
    ("grout grout grout", "grout"),
    ("grout", "grout grout grout"),
    ("a b c d e f g", "b c d e f g h"),
    ("a b c d e f g", "g f e d c b a"),
    ("a b a b a b", "b a b a b a"),
    ("gutter bracket loose left of the downpipe", "gutter brackets lose left the downpipe there"),
    ("socket not level", "socket is not quite level at all"),
    ("lift and relay the slab by the gate", "left and really the slab buy the gate"),
    ("Case Matters here", "case matters Here"),
    ("one two three four five", "one three two four five"),
    ("the fan is loud and the light flickers", "fan loud light flickers"),
    ("loft hatch draught strip missing", "loft hatch draft strip missing loft hatch"),
    ("x y", "y x"),
]


def main():
    cases = []
    for reference, heard in PAIRS:
        found = jiwer.process_words(reference, heard)
        cases.append({
            "reference": reference,
            "heard": heard,
            "hits": found.hits,
            "substitutions": found.substitutions,
            "deletions": found.deletions,
            "insertions": found.insertions,
            "rate": found.wer,
        })
    table = {"made_with": f"jiwer {importlib.metadata.version('jiwer')}", "cases": cases}
    path = pathlib.Path(__file__).with_suffix(".json")
    path.write_text(json.dumps(table, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
