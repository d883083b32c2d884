"""What stands in the way of a spreadsheet (faults), and what it leaves open (doubts)."""

from dataclasses import asdict, dataclass, field
from typing import NoReturn

from registry.exchange.signs import one_line
from registry.faults import DomainError

LISTED = 1000
"""How many of each are kept to be shown; all of them are counted."""


@dataclass(frozen=True)
class Problem:
    """One line of the report. `row` is the number the spreadsheet shows; None: the whole file."""

    file: str
    row: int | None
    column: str
    message: str
    mend: str

    def as_json(self) -> dict[str, object]:
        """Return what a batch keeps."""
        return asdict(self)

    def __str__(self) -> str:
        place = [self.file]
        if self.row is not None:
            place.append(f"row {self.row}")
        if self.column:
            place.append(self.column)
        return one_line(f"{', '.join(place)}: {self.message} {self.mend}".rstrip())


class SpreadsheetRefused(DomainError):
    """Nothing of a spreadsheet was stored; `problems` say why."""

    def __init__(self, problems: list[Problem], count: int | None = None) -> None:
        self.problems = problems
        self.count = len(problems) if count is None else count
        more = f" There are {self.count - 1} more." if self.count > 1 else ""
        super().__init__(f"{problems[0]}{more}")


def refuse(
    file: str, message: str, mend: str, row: int | None = None, column: str = ""
) -> NoReturn:
    """Raise for a file of which nothing can be read."""
    raise SpreadsheetRefused([Problem(file, row, column, message, mend)])


@dataclass
class Problems:
    """Problems gathered while reading: all counted, the first of them kept."""

    listed: list[Problem] = field(default_factory=list)
    count: int = 0

    def add(self, problem: Problem) -> None:
        """Count a problem and keep it while there is room."""
        self.count += 1
        if len(self.listed) < LISTED:
            self.listed.append(problem)

    def __bool__(self) -> bool:
        return self.count > 0

    def as_json(self) -> list[dict[str, object]]:
        """Return the kept ones as a batch keeps them."""
        return [problem.as_json() for problem in self.listed]
