"""The one numbered migrator of stored documents: each step turns form n into form n + 1.

Alembic moves the tables, this moves what is in ``revisions.document``. A step works on the
dict form and never imports today's parts: they will have changed by the time it runs. A new
form needs `DOCUMENTS` raised by one, a step, and a stored database of the old form in the
tests.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Document = dict[str, Any]
Step = Callable[[Document], Document]

DOCUMENTS = 1
"""Form in which this program stores documents."""


def migrated(document: Document, form: int, steps: Mapping[int, Step] | None = None) -> Document:
    """Return a document of an old form in today's.

    Parameters
    ----------
    document : dict
        Codec form as stored; it is not changed.
    form : int
        Number of its form, at most `DOCUMENTS`.
    steps : mapping, optional
        Step by the number of the form that it starts from; the program's own when left out.

    Examples
    --------
    >>> migrated({"key": "level-9-1", "law": {}}, 0)
    {'part': 'sender', 'key': 'level-9-1', 'law': {}}
    """
    known = STEPS if steps is None else steps
    for number in range(form, DOCUMENTS if steps is None else form + len(known)):
        document = known[number](document)
    return document


def _tell_the_part(document: Document) -> Document:
    """Form 0 left it to the reader to see by the law that it is a sender.

    No released program wrote it; it keeps the way from an old store to this one walked.
    """
    return {"part": "sender" if "law" in document else "gauge", **document}


STEPS: Mapping[int, Step] = {0: _tell_the_part}
