"""A run: from the inputs of a source to the tables of a dataset. It goes on from what an earlier run has done."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from extract.dataset.arrow import pa
from extract.dataset.chunks import Begin, End, chunked
from extract.dataset.engine import Done, Engine
from extract.dataset.item import Content, Item, Loaded, load
from extract.dataset.pack import Tables, pack, pack_rows, unpack
from extract.dataset.settings import Settings
from extract.dataset.source import SourceOf
from extract.dataset.store import Store, held_by, in_order, of_inputs
from extract.dataset.tables import Row, dataset_tables
from extract.dataset.validate import faults, without
from extract.dataset.work import FAULT, Task, failed
from extract.errors import InputError

#: The most inputs and bytes in a task. A crash then loses only seconds of work.
_ITEMS, _BYTES = 8, 512 * 1024
#: The hash of an input whose bytes could not be read. The next run tries again.
_UNREAD = "unread"


@dataclass(slots=True)
class BuildCount:
    """What a run has done: inputs ``done`` in it (``failed`` of them could not be used), ``kept`` from an earlier
    one, and ``gone`` from the source since."""

    done: int = 0
    failed: int = 0
    kept: int = 0
    gone: int = 0


@dataclass(frozen=True, slots=True)
class _RowSource:
    """Where the rows of inputs are: results that wait, or a part of the dataset."""

    staged: Path | None = None
    part: str | None = None


@dataclass(slots=True)
class _Chunk:
    """A chunk of the run: the hash of each of its inputs in order, and how many are still at work."""

    name: str
    wanted: dict[str, str] = field(default_factory=dict)
    open: int = 0
    whole: bool = False


class BuildRun:
    """One run. ``watch`` is called with the number of inputs that have just been finished."""

    def __init__(
        self, store: Store, settings: Settings, engine: Engine, watch: Callable[[int], None] = lambda n: None
    ) -> None:
        self.tally = BuildCount()
        self._store, self._engine, self._watch = store, engine, watch
        self._packed, self._provenance = settings.packed(), settings.provenance
        #: Where the rows of each input are, by key and hash, if they are at hand.
        self._known: dict[tuple[str, str], _RowSource] = {}
        #: For results that wait: their inputs that are in no part yet.
        self._waiting: dict[Path, set[str]] = {}
        self._before: set[str] = set()
        #: The chunk of each input that is at work.
        self._at_work: dict[str, _Chunk] = {}
        self._names: set[str] = set()
        self._numbers = count()

    def build(self, source: SourceOf) -> BuildCount:
        """Bring the dataset to what the source holds. Raises InputError if that cannot go on. What is done is
        kept."""
        for part in self._store.parts():
            if self._store.is_readable(part):
                self._know(self._store.held_by_part(part), _RowSource(part=part))
            else:
                # Somebody has damaged it: what was in it is done again.
                self._store.take_back(part)
        self._before = {key for key, _ in self._known}
        for path, held in self._store.staged():
            self._know(held, _RowSource(staged=path))
        for done in self._engine.run(self._tasks(source)):
            self._take(done)
        self._store.tidy(self._names)
        self.tally.gone = len(self._before)
        return self.tally

    def _know(self, held: Mapping[str, str], place: _RowSource) -> None:
        for pair in held.items():
            self._known[pair] = place
        if place.staged is not None:
            self._waiting[place.staged] = set(held)

    def _tasks(self, source: SourceOf) -> Iterator[Task]:
        """The tasks to be done, as the engine asks for them. Inputs that need no work are skipped on the way."""
        chunk = _Chunk("")
        batch: list[Loaded] = []
        size = 0
        for each in chunked(source.items()):
            if isinstance(each, Begin):
                chunk = _Chunk(each.name)
                self._names.add(each.name)
                continue
            if isinstance(each, Item):
                loaded = self._load(each, chunk)
                if loaded is not None:
                    batch.append(loaded)
                    size += loaded.content.size
                if len(batch) < _ITEMS and size < _BYTES:
                    continue
            if batch:
                yield self._task(batch, chunk)
                batch, size = [], 0
            if isinstance(each, End):
                chunk.whole = True
                self._close(chunk)

    def _task(self, batch: list[Loaded], chunk: _Chunk) -> Task:
        task = Task(next(self._numbers), tuple(batch), self._packed)
        self._at_work |= {loaded.key: chunk for loaded in batch}
        chunk.open += len(batch)
        return task

    def _load(self, item: Item, chunk: _Chunk) -> Loaded | None:
        """The input, if there is work to do on it."""
        self._before.discard(item.key)
        try:
            loaded = load(item)
        except InputError as error:
            blank = Loaded(item.key, item.file, item.name, item.programme, item.row, Content(b""), _UNREAD)
            chunk.wanted[item.key] = _UNREAD
            before = (item.key, _UNREAD) in self._known
            self._keep(_packed_failure(blank, error, self._provenance))
            if before:
                self.tally.kept += 1
                self._watch(1)
            else:
                self._count(1, 1)
            return None
        chunk.wanted[item.key] = loaded.sha256
        if (item.key, loaded.sha256) in self._known:
            self.tally.kept += 1
            self._watch(1)
            return None
        return loaded

    def _take(self, done: Done) -> None:
        # A task never has inputs of two chunks.
        chunk, *_ = [self._at_work.pop(item.key) for item in done.task.items]
        packed = done.packed
        if packed is None:
            (item,) = done.task.items
            remedy = "leave it out, and report it with the file"
            error = InputError(item.file, f"{FAULT} (it ended the process)", remedy)
            packed = _packed_failure(item, error, self._provenance)
        self._count(len(done.task.items), self._keep(packed))
        chunk.open -= len(done.task.items)
        self._close(chunk)

    def _keep(self, packed: bytes) -> int:
        """Keep results on the disk. Returns how many of their inputs failed."""
        ledger = unpack(packed, ["inputs"])["inputs"]
        self._know(held_by(ledger), _RowSource(staged=self._store.stage(packed)))
        bad: int = ledger.column("status").to_pylist().count("failed")
        return bad

    def _count(self, inputs: int, bad: int) -> None:
        self.tally.done += inputs
        self.tally.failed += bad
        self._watch(inputs)

    def _close(self, chunk: _Chunk) -> None:
        """Write a chunk's part once all its inputs are done, unless it is already as it should be."""
        if not chunk.whole or chunk.open:
            return
        places = {key: self._known[key, digest] for key, digest in chunk.wanted.items()}
        held = self._store.held_by_part(chunk.name)
        here = _RowSource(part=chunk.name)
        stands = list(held.items()) == list(chunk.wanted.items())
        if not stands or any(place != here for place in places.values()):
            tables = self._gathered(chunk, places)
            if not stands or tables != self._store.read_part(chunk.name):
                self._store.open_up()
                if held:
                    self._take_back(chunk, held, tables)
                self._store.write_part(chunk.name, tables)
        self._done_with(chunk, places)

    def _gathered(self, chunk: _Chunk, places: Mapping[str, _RowSource]) -> Tables:
        """The chunk's tables, from wherever the rows of its inputs are. An input fails if its rows are not what the
        data dictionary says."""
        keys_at: dict[_RowSource, list[str]] = {}
        for key, place in places.items():
            keys_at.setdefault(place, []).append(key)
        found: dict[str, list[pa.Table]] = {name: [] for name in dataset_tables()}
        for place, keys in keys_at.items():
            for name, table in self._tables_at(place).items():
                found[name].append(of_inputs(table, keys))
        order = list(chunk.wanted)
        tables = {name: in_order(name, each, order) for name, each in found.items()}
        wrong = {
            fault.input: f"{FAULT} ({fault.table}.{fault.column}: {fault.problem})"
            for fault in faults(tables)
            if fault.input is not None
        }
        if wrong:
            self.tally.failed += len(wrong)
            tables = {name: in_order(name, [table], order) for name, table in without(tables, wrong).items()}
        return tables

    def _tables_at(self, place: _RowSource) -> Tables:
        if place.staged is not None:
            return unpack(place.staged.read_bytes())
        assert place.part is not None
        return self._store.read_part(place.part)

    def _take_back(self, chunk: _Chunk, held: Mapping[str, str], tables: Tables) -> None:
        """To do before a part is written over: keep its rows, also those that belong to another chunk now, and say
        that the part is not whole. A crash during the renaming leaves some of its tables new and some old."""
        here = _RowSource(part=chunk.name)
        moved = [key for key, digest in held.items() if self._known.get((key, digest)) == here]
        moved = [key for key in moved if key not in chunk.wanted]
        if moved:
            old = self._store.read_part(chunk.name)
            self._keep(pack({name: of_inputs(table, moved) for name, table in old.items()}))
        self._keep(pack(tables))
        self._store.take_back(chunk.name)

    def _done_with(self, chunk: _Chunk, places: Mapping[str, _RowSource]) -> None:
        """Forget what is known of a chunk's inputs, and the results that need not wait any more."""
        for key, digest in chunk.wanted.items():
            del self._known[key, digest]
            staged = places[key].staged
            if staged is not None:
                self._waiting[staged].discard(key)
                if not self._waiting[staged]:
                    del self._waiting[staged]
                    self._store.drop_staged(staged)


def _packed_failure(item: Loaded, error: InputError, provenance: dict[str, str]) -> bytes:
    rows: dict[str, list[Row]] = {}
    for table, row in failed(item, error, provenance):
        rows.setdefault(table, []).append(row)
    return pack_rows(rows)
