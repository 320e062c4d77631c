"""Make `assistant/retrieval/vectors.npz`, the passage vectors that come with the package.

    python -m evals.vectors [--check]

Run before a release, after the handbook's last change; `--check` only says how many passages it covers.
"""

from __future__ import annotations

import argparse
import time

from assistant.handbook.loading import load_handbook
from assistant.handbook.passages import all_passages
from assistant.retrieval.encoder import ReferenceEncoder
from assistant.retrieval.index import PACKAGED, digest_of, read_packaged, text_of, write_packaged


def main() -> None:
    parser = argparse.ArgumentParser(description="Encode every passage with sentence-transformers.")
    parser.add_argument("--check", action="store_true", help="only say how many passages the file covers")
    check = parser.parse_args().check
    passages = list(all_passages(load_handbook()))
    if not check:
        started = time.perf_counter()
        write_packaged(PACKAGED, passages, ReferenceEncoder())
        print(f"{len(passages)} passages encoded in {time.perf_counter() - started:.1f} s")
    known = read_packaged(PACKAGED)
    covered = sum(digest_of(text_of(passage)) in known for passage in passages)
    print(f"{covered} of {len(passages)} passages have a packaged vector ({PACKAGED.name})")
    if covered < len(passages):
        raise SystemExit(1)


if __name__ == "__main__":
    main()
