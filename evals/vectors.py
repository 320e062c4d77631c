"""Make the vectors that come with the package: `vectors.npz`, one a passage, and `tokens.npz`, one a token of a rule.

    python -m evals.vectors [--check]

Run before a release, after the handbook's last change; `--check` only says how much they cover.
"""

from __future__ import annotations

import argparse
import time

from assistant.handbook.loading import load_handbook
from assistant.handbook.passages import all_passages
from assistant.retrieval import index, late
from assistant.retrieval.encoder import ReferenceEncoder


def main() -> None:
    parser = argparse.ArgumentParser(description="Encode every passage with sentence-transformers.")
    parser.add_argument("--check", action="store_true", help="only say how much the files cover")
    check = parser.parse_args().check
    handbook = load_handbook()
    passages = list(all_passages(handbook))
    rules = [passage for passage in passages if passage.id.partition("/")[0] in handbook.topics]
    if not check:
        started = time.perf_counter()
        encoder = ReferenceEncoder()
        index.write_packaged(index.PACKAGED, passages, encoder)
        late.write_packaged(late.PACKAGED, rules, encoder)
        print(f"{len(passages)} passages encoded in {time.perf_counter() - started:.1f} s")
    whole = index.read_packaged(index.PACKAGED)
    tokens = late.read_packaged(late.PACKAGED)
    texts = {text for passage in rules for text in late.texts_of(passage)}
    covered = sum(index.digest_of(index.text_of(passage)) in whole for passage in passages)
    read = sum(tokens is not None and index.digest_of(text) in tokens.places for text in texts)
    print(f"{covered} of {len(passages)} passages have a packaged vector ({index.PACKAGED.name})")
    print(f"{read} of {len(texts)} texts of rules have packaged token vectors ({late.PACKAGED.name})")
    if covered < len(passages) or read < len(texts):
        raise SystemExit(1)


if __name__ == "__main__":
    main()
