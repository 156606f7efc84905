"""The request itself: read all files, match them, keep all of them or nothing."""

from __future__ import annotations

import datetime
import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sitebook import errors
from sitebook.citations import Cited
from sitebook.intake.files import name_of
from sitebook.records.import_batch import ImportBatch, RefusedLine
from sitebook.records.incoming import SortedLine
from sitebook.records.kinds import KINDS
from sitebook.records.results.bring_in import BringInReport, FileReport
from sitebook.records.settings import Settings
from sitebook.store import acts, history, rows
from sitebook.store.book import Book
from sitebook.store.history import Act, acting
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.bring_in.completing import complete
from sitebook.work.bring_in.days_ahead import refuse_ahead
from sitebook.work.bring_in.distances import refuse_far
from sitebook.work.bring_in.gathering import Gathered, gather
from sitebook.work.bring_in.keeping import Keeping, keep_kind
from sitebook.work.bring_in.map_rows import MAPPED, keep_extracts, keep_mapped
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.bring_in.photos import PHOTO, keep_originals, keep_photos, settle_photos
from sitebook.work.bring_in.reading import ReadFile, Waypoints, read_all, sha256_of
from sitebook.work.bring_in.returns import Returned, merge_returns
from sitebook.work.bring_in.settling import settle_names
from sitebook.work.bring_in.stops import join_stops
from sitebook.work.bring_in.three_ways import end_returned, meet_kind
from sitebook.work.bring_in.walks import match_walks
from sitebook.work.identity_keys import uuid_of
from sitebook.work.opening import book_row, owner
from sitebook.work.photos.originals import Originals, keeping_originals
from sitebook.work.settings import settings_of

LINES_TOLD = 3


@dataclass(frozen=True)
class Wish:
    """How she wants files brought in.

    Parameters
    ----------
    kind
        Read every file as a table of this kind; None: find out.
    waypoints
        Whether waypoints become draft finds or sites.
    accept_rest
        Keep the other lines of a file in which some are refused.
    far
        Believe positions far from everything in the book.
    dry_run
        Do everything, keep nothing.
    """

    kind: str | None = None
    waypoints: Waypoints = "finds"
    accept_rest: bool = False
    far: bool = False
    dry_run: bool = False


class _OnlyATrial(Exception):  # noqa: N818 - it is no error: it takes a trial back
    """Raised to take back all that a trial has written."""


def bring_in(
    book: Book,
    paths: Sequence[Path],
    *,
    now: datetime.datetime,
    wish: Wish = Wish(),
    settings: Settings | None = None,
    progress: Progress = silent,
) -> Answer[BringInReport]:
    """Bring files into the book, whatever their order; all of them or nothing.

    Raises
    ------
    LinesRefused
        When lines are impossible and the rest was not asked for.
    SitebookError
        When a file is missing, unknown or broken as a whole.
    """
    settings = settings or settings_of(book)
    zone, owner_initials = book_row(book).zone, owner(book).initials
    fresh, seen = _part_seen(book, paths)
    files = read_all(fresh, zone=zone, kind=wish.kind, waypoints=wish.waypoints, progress=progress)
    files, returned = merge_returns(book, files)
    gathered = gather(files, owner_initials)
    refuse_ahead(gathered, zone, now)
    if not wish.far:
        refuse_far(book, gathered, settings.far_km)
    report: BringInReport | None = None
    try:
        with keeping_originals(book.path) as originals, acting(book, Act("import", now)):
            report = _keep(
                book,
                gathered,
                returned,
                seen,
                zone=zone,
                now=now,
                wish=wish,
                settings=settings,
                progress=progress,
                originals=originals,
            )
            _take_back_a_trial(wish)
    except _OnlyATrial:
        pass
    if report is None:
        raise AssertionError("nothing was reported")
    return Answer(report)


def _take_back_a_trial(wish: Wish) -> None:
    if wish.dry_run:
        raise _OnlyATrial


def _part_seen(book: Book, paths: Sequence[Path]) -> tuple[list[Path], list[FileReport]]:
    """Part the files whose every row the book has seen from those to be read.

    After an import was taken back, an earlier file may hold some of its rows too: it is read again.
    """
    batches = rows.records(book, ImportBatch)
    undone = [batch.undone_at for batch in batches if batch.undone_at is not None]
    since = max(undone, default=None)
    known = {
        batch.sha256: batch
        for batch in batches
        if batch.undone_at is None and (since is None or batch.made_at > since)
    }
    fresh, seen = [], []
    for path in paths:
        if batch := known.get(sha256_of(path)):
            seen.append(FileReport(name_of(path), batch.recognised_as, seen_before=True))
        else:
            fresh.append(path)
    return fresh, seen


def _keep(
    book: Book,
    gathered: Gathered,
    returned: Returned,
    seen: list[FileReport],
    *,
    zone: str,
    now: datetime.datetime,
    wish: Wish,
    settings: Settings,
    progress: Progress,
    originals: Originals,
) -> BringInReport:
    arrived: list[int] = []
    names = names_in(book)
    returned.name(names)
    unmatched = settle_names(gathered, names)
    made_names = complete(gathered, names, zone)
    likely = _likely_meant(made_names, names)
    batch_ids = _begin_batches(book, gathered.files, now)
    keeping = Keeping(
        book, names, gathered, now, book_row(book).owner_id, batch_ids, gone=acts.not_standing(book)
    )
    for done, kind in enumerate(KINDS):
        progress(f"keeping {kind.replace('_', ' ')}", done, len(KINDS))
        if kind == "extract":
            keep_extracts(keeping)
        elif kind in MAPPED:
            keep_mapped(keeping, kind)
        elif kind == PHOTO:
            arrived = keep_photos(keeping)
        else:
            meet_kind(keeping, returned, kind)
            keep_kind(keeping, kind)
    end_returned(keeping, returned)
    photos = settle_photos(keeping, arrived, zone)
    walked = match_walks(keeping, zone, settings.walking_limit_kmh)
    joined = join_stops(book, now=now, batch_ids=batch_ids.values(), gone=keeping.gone)
    progress("keeping", len(KINDS), len(KINDS))
    _require_nothing_refused(gathered, wish)
    if not wish.dry_run:
        keep_originals(keeping, originals)
    reports = [_file_report(keeping, index, file) for index, file in enumerate(gathered.files)]
    _end_batches(book, keeping, reports)
    made = sum((Counter(counts) for counts in (walked.counts, photos.counts)), Counter(_lengths(made_names)))
    files = tuple(sorted((*reports, *seen), key=lambda report: report.file_name))
    remarks = (*_remarks(made_names), *likely, *_unmatched(unmatched), *gathered.remarks())
    remarks += (*photos.remarks, *walked.remarks, *joined.remarks)
    return BringInReport(files, dict(made), remarks, dry_run=wish.dry_run)


def _lengths(made_names: dict[str, list[str]]) -> dict[str, int]:
    return {kind: len(called) for kind, called in sorted(made_names.items())}


def _begin_batches(book: Book, files: Sequence[ReadFile], now: datetime.datetime) -> dict[int, int]:
    """Give each file its import: a new one, or the one it had when it was brought in before."""
    there = {batch.sha256: batch.id for batch in rows.records(book, ImportBatch)}
    ids: dict[int, int] = {}
    for index, file in enumerate(files):
        known = there.get(file.sha256)
        ids[index] = known if known is not None else rows.insert(book, [_batch_of(file, now)])[0]
    return ids


def _batch_of(file: ReadFile, now: datetime.datetime) -> ImportBatch:
    return ImportBatch(
        uuid=uuid_of("import_batch", file.sha256),
        file_name=file.name,
        sha256=file.sha256,
        recognised_as=file.reading.recognised_as,
        made_at=now,
        counts_text="{}",
    )


def _end_batches(book: Book, keeping: Keeping, reports: Sequence[FileReport]) -> None:
    """Write down what became of each file; an import that was taken back stands again."""
    refused: list[RefusedLine] = []
    batches = {batch.id: batch for batch in rows.records(book, ImportBatch)}
    for index, report in enumerate(reports):
        batch = batches[keeping.batch_ids[index]]
        if batch.undone_at is not None or report.added or report.changed:
            again = {"undone_at": None, "made_at": keeping.now, "file_name": report.file_name}
            history.amend(book, batch, again, batch_id=batch.id)
        counts = _counts(batch, report)
        rows.update(book, ImportBatch, batch.id or 0, {"counts_text": json.dumps(counts, sort_keys=True)})
        _forget_lines(book, batch.id)
        refused += [_refused_line(batch.id or 0, line) for line in report.sorted_lines]
    rows.insert(book, refused)


def _counts(batch: ImportBatch, report: FileReport) -> dict[str, dict[str, int]]:
    """Add what a file brings now to what it brought before, where that was not taken back."""
    before = json.loads(batch.counts_text) if batch.undone_at is None else {}
    now = {"added": report.added, "changed": report.changed}
    return {what: dict(Counter(before.get(what, {})) + Counter(found)) for what, found in now.items()}


def _forget_lines(book: Book, batch_id: int | None) -> None:
    """Let the lines left out the first time make room for those left out now."""
    mine = rows.table_for(RefusedLine).c.batch_id == batch_id
    lines = rows.records(book, RefusedLine, mine, withdrawn=True)
    rows.delete(book, RefusedLine, [line.id for line in lines if line.id is not None])


def _refused_line(batch_id: int, line: SortedLine) -> RefusedLine:
    return RefusedLine(
        batch_id=batch_id,
        line_number=line.line_number,
        sorted_as=line.sorting,
        reason=line.reason if line.how_many == 1 else f"{line.reason} ({line.how_many} times)",
        line_text=line.line_text,
    )


def _file_report(keeping: Keeping, index: int, file: ReadFile) -> FileReport:
    def of(counts: dict[tuple[int, str], int]) -> dict[str, int]:
        return {kind: n for (file_index, kind), n in sorted(counts.items()) if file_index == index}

    return FileReport(
        file_name=file.name,
        recognised_as=file.reading.recognised_as,
        seen_before=False,
        added=of(keeping.added),
        changed=of(keeping.changed),
        already=keeping.gathered.already.get(index, 0),
        sorted_lines=tuple(keeping.gathered.sorted_lines.get(index, ())),
    )


def _require_nothing_refused(gathered: Gathered, wish: Wish) -> None:
    refused = [
        (file.name, line)
        for index, file in enumerate(gathered.files)
        for line in gathered.sorted_lines.get(index, ())
        if line.sorting == "refused"
    ]
    if not refused or wish.accept_rest:
        return
    told = "; ".join(_told(name, line) for name, line in refused[:LINES_TOLD])
    count = sum(line.how_many for _, line in refused)
    more = f"; and {count - LINES_TOLD} more" if count > LINES_TOLD else ""
    raise errors.LinesRefused(
        f"{told}{more}",
        remedy="Nothing was kept. Mend what is named, or keep the rest with --accept-rest.",
    )


def _told(name: str, line: SortedLine) -> str:
    where = f"{name} line {line.line_number}" if line.line_number else name
    return f"{where}: {line.reason}"


MISSPELT = Cited(0.9, "1", "ours", "our choice")
"""How alike two names must be, 1 being equal, for one to look like a slip of the other."""


def _likely_meant(made: dict[str, list[str]], names: Names) -> list[str]:
    """Ask about each new name that is written almost as one the book has."""
    near = ((name, names.near("taxon", name, alike=MISSPELT.value)) for name in sorted(made.get("taxon", ())))
    return [
        f"Did you mean {known} by {name}? Then: sitebook merge taxon '{known}' '{name}'"
        for name, known in near
        if known is not None and " " in name and known != name
    ]


def _unmatched(names: list[str]) -> list[str]:
    told = ", ".join(names)
    advice = "Write the scientific name, or GENUS sp. for a genus alone."
    return [f"Kept as written and matched to no scientific name: {told}. {advice}"] if names else []


def _remarks(made: dict[str, list[str]]) -> list[str]:
    remarks = []
    if taxa := made.get("taxon"):
        remarks.append(
            f"New to the book: {', '.join(sorted(taxa))}. "
            "Nothing is known here of what they are mistaken for."
        )
    if people := made.get("person"):
        remarks.append(f"People added: {', '.join(sorted(people))}.")
    if visits := made.get("visit"):
        remarks.append(
            f"Visits made for finds that had none: {len(visits)}. "
            "Their reason is 'seen first', so they enter no rate."
        )
    return remarks
