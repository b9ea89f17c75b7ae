"""Count in how many of the benchmark's 160 transcripts a word is said, and write what is common as scriptkit/cut/placing/common_words.csv.

    python -m tests.speed.common_words DATA

DATA is the folder that the benchmark's build.py wrote. Only figures come out: a stem, and the share of transcripts that have it.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.english.stems import STOP, stem, words_in

TABLE = Path(__file__).parent.parent.parent / "scriptkit" / "cut" / "common_words.csv"
LEAST = 0.03


def main(data: Path) -> None:
    files = sorted((data / "srt").glob("*.srt"))
    counts: Counter[str] = Counter()
    for path in files:
        lines = read_transcript(path.read_bytes(), path.name).lines
        counts.update({stem(w) for line in lines for w in words_in(line.text) if w not in STOP and not w[0].isdigit()})
    rows = [(word, n / len(files)) for word, n in counts.items() if n >= LEAST * len(files)]
    rows.sort(key=lambda row: (-row[1], row[0]))
    head = [
        "stem,share",
        "# In which share of 160 transcripts of cooking videos (a public research set, not part of this project) a word is said;",
        "# figures only, made by `python -m tests.speed.common_words`.",
    ]
    TABLE.write_text("\n".join([*head, *(f"{word},{share:.2f}" for word, share in rows)]) + "\n", encoding="utf-8")
    print(f"wrote {TABLE}: {len(rows)} stems")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
