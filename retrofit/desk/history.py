"""What undo takes back and redo does again: snapshots, one for each step of the user.

Knows neither files nor what an edit is made of.
"""

from __future__ import annotations

from dataclasses import dataclass

from catalog.message import Message
from retrofit.desk.edits import Area
from retrofit.plan.document import Pairing, Plan


@dataclass(frozen=True)
class View:
    """A plan and the pairing that is shown of it."""

    plan: Plan
    label: str

    @property
    def pairing(self) -> Pairing:
        """The pairing that is shown."""
        return self.plan.pairing(self.label)


@dataclass(frozen=True)
class Step:
    """One step of undo.

    Attributes
    ----------
    label : Message
        What it does.
    before, after : View
        What was shown before, and what is shown after it.
    touches : frozenset of Area
        What to read again.
    merge : str
        Steps of the same non-empty text that follow each other become one.
    """

    label: Message
    before: View
    after: View
    touches: frozenset[Area]
    merge: str


class History:
    """The steps that were made, and those that were taken back."""

    def __init__(self) -> None:
        self._steps: list[Step] = []
        self._done = 0
        self._merging = False

    @property
    def undo_label(self) -> Message | None:
        """What undo would take back, None if there is nothing."""
        return self._steps[self._done - 1].label if self._done else None

    @property
    def redo_label(self) -> Message | None:
        """What redo would do again, None if there is nothing."""
        return self._steps[self._done].label if self._done < len(self._steps) else None

    def add(self, step: Step, saved: Plan | None) -> None:
        """Add a step that was made; steps that were taken back are gone then.

        Parameters
        ----------
        step : Step
            The step.
        saved : Plan or None
            What the file holds: no step is merged over it, so that undo can return to it.
        """
        del self._steps[self._done :]
        merged = self._merging and self._merges(step, saved)
        if merged:
            step = Step(step.label, self._steps.pop().before, step.after, step.touches, step.merge)
        # Typing there and back again in one field is no step, and ends with itself.
        self._merging = step.after.plan != step.before.plan
        if self._merging:
            self._steps.append(step)
        self._done = len(self._steps)

    def _merges(self, step: Step, saved: Plan | None) -> bool:
        if not (self._steps and step.merge):
            return False
        last = self._steps[-1]
        return last.merge == step.merge and last.after.plan is not saved

    def end_step(self) -> None:
        """Say that typing or dragging in one field is over: the next edit is a step of its own."""
        self._merging = False

    def back(self) -> Step | None:
        """Return the step to take back, None if there is none."""
        self._merging = False
        if not self._done:
            return None
        self._done -= 1
        return self._steps[self._done]

    def again(self) -> Step | None:
        """Return the step to do again, None if there is none."""
        self._merging = False
        if self._done >= len(self._steps):
            return None
        self._done += 1
        return self._steps[self._done - 1]

    def clear(self) -> None:
        """Forget all steps."""
        self._steps.clear()
        self._done = 0
        self._merging = False
