"""Bulk: the command itself: python -m service.bulk INPUT --out ANSWERS

INPUT is a file of NDJSON, a folder of JSON files, or a CSV file of tape walks. Answers come in the
order of the input, each the same bytes as `POST /v1/layouts` gives. However the command was
stopped, giving it again goes on from where it was.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from contextlib import closing
from itertools import islice
from pathlib import Path
from typing import Final

from service.batch import LONGEST
from service.bulk.documents import Input, open_input
from service.bulk.errors import BulkError
from service.bulk.files import Files, settle_files
from service.bulk.journal import Journal
from service.bulk.progress import Progress
from service.bulk.runners import Answers, Cluster, Local, Runner, Service
from service.bulk.stopping import Stopped, stop_on_signals
from service.bulk.summary import write_summary
from service.bulk.walks import COLUMNS
from service.bulk.work import parcels
from service.streams import open_streams, print_error, print_output

MOST: Final = 67_108_864
"""The most bytes of a document that `--longest` allows, as the service's GUARDS_BODY_LIMIT does."""


def main(words: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status.

    0: every document was laid out. 1: some were refused. 2: the command could not begin or go on.
    3: some failed by an error of the program itself. 130, 143: stopped by SIGINT or SIGTERM.
    """
    open_streams()
    asked = _parser().parse_args(words)
    try:
        with stop_on_signals():
            return _end(asked)
    except Stopped as stopped:
        print_error(f"stopped; the same command continues from {asked.out}")
        return stopped.status


def _end(asked: argparse.Namespace) -> int:
    """Exit status of the whole run; says in a sentence why it could not begin or go on."""
    try:
        return _run(asked)
    except BulkError as error:
        print_error(error)
    except OSError as error:
        print_error(f"{error.filename or asked.out}: {error.strerror or error}")
    return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m service.bulk",
        description="Lay out many decks: NDJSON, a folder of JSON files, or a CSV of tape walks.",
        epilog=f"Columns of the CSV: {','.join(COLUMNS)} (code, height and walls may be left out).",
    )
    parser.add_argument("input", type=Path, help="a file of NDJSON, a folder, or a .csv file")
    parser.add_argument(
        "--out", type=Path, required=True, help="answers as NDJSON; continued if begun"
    )
    parser.add_argument(
        "--summary", type=Path, help="CSV, a row a document; OUT with .csv unless named"
    )
    parser.add_argument(
        "--longest",
        type=_document_bytes,
        default=LONGEST,
        help="most bytes of a document (%(default)s)",
    )
    cores = len(os.sched_getaffinity(0))
    parser.add_argument(
        "--workers", type=_above_nought, default=cores, help="local processes (%(default)s)"
    )
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--url", help="address of a running service that does the work")
    where.add_argument(
        "--scheduler", help="address of a Dask scheduler that does the work, tcp://…"
    )
    parser.add_argument("--key", help="the service's key, with --url")
    return parser


def _above_nought(text: str) -> int:
    try:
        value = int(text)
    except ValueError:
        value = 0
    if value < 1:
        raise argparse.ArgumentTypeError(f"{text} is not a whole number from 1 up")
    return value


def _document_bytes(text: str) -> int:
    value = _above_nought(text)
    if value > MOST:
        raise argparse.ArgumentTypeError(f"{text} is more than {MOST}")
    return value


def _run(asked: argparse.Namespace) -> int:
    runner = _runner(asked)
    files = settle_files(asked.input, asked.out, asked.summary)
    source = open_input(asked.input, asked.longest)
    total = sum(1 for _ in source.documents())
    if not total:
        raise BulkError(f"{asked.input}: it holds no document")
    known = runner.grounds()
    with closing(Journal(asked.out, source.digest(), asked.longest, known)) as journal:
        if journal.done > total:
            raise BulkError(f"{asked.out}: more answers than the input has documents")
        left = parcels(islice(source.documents(), journal.done, None))
        progress = Progress(sys.stderr, total, journal.done)
        _go_on(runner.answers(left, known), journal, progress)
        return _tell(files, source)


def _runner(asked: argparse.Namespace) -> Runner:
    """The runner that the options ask for. Raises BulkError where it cannot be used."""
    if asked.url is not None:
        return Service(asked.url, asked.key, asked.longest)
    if asked.scheduler is not None:
        return Cluster(asked.scheduler, asked.longest)
    return Local(asked.workers, asked.longest)


def _go_on(answers_left: Answers, journal: Journal, progress: Progress) -> None:
    """Add the remaining answers to the journal and to the progress, as they come."""
    try:
        with closing(answers_left) as told:
            for answers in told:
                journal.add(answers)
                progress.add(len(answers))
    finally:
        progress.end()


def _tell(files: Files, source: Input) -> int:
    """Write the summary, print the counts, and return the exit status."""
    try:
        statuses = write_summary(files.answers, source.documents(), files.summary)
    except OSError as error:
        raise BulkError(f"{files.summary}: {error.strerror}") from None
    laid_out, whole = statuses[200], sum(statuses.values())
    told = [f"{laid_out} of {whole} laid out"]
    for words, first, end in (("refused", 400, 500), ("failed", 500, 600)):
        those = {status: count for status, count in statuses.items() if first <= status < end}
        if those:
            each = (f"{count} with {status}" for status, count in sorted(those.items()))
            told.append(f"{words}: {', '.join(each)}")
    print_output("; ".join(told))
    print_output(f"answers: {files.answers}, summary: {files.summary}")
    if any(status >= 500 for status in statuses):
        return 3
    return 0 if laid_out == whole else 1


if __name__ == "__main__":
    sys.exit(main())
