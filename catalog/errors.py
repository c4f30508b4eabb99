"""The one tree of errors: the user's (bad input, environment) and ours (bugs)."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.message import Message, Value, message


class RetrofitError(Exception):
    """Root of every error that this project raises on purpose."""


class UserError(RetrofitError):
    """Bad input or a hostile environment: says what, where and what to do.

    Parameters
    ----------
    messages : Message or sequence of Message
        One message for each problem found; loading gathers all of them.
    """

    def __init__(self, messages: Message | Sequence[Message]) -> None:
        self.messages: tuple[Message, ...] = (
            (messages,) if isinstance(messages, Message) else tuple(messages)
        )
        super().__init__("; ".join(f"{m.key} {dict(m.values)}" for m in self.messages))


class BugError(RetrofitError):
    """Something that cannot happen happened: a mistake in this program."""


def user_error(key: str, **values: Value | Message) -> UserError:
    """Make a user error with a single message."""
    return UserError(message(key, **values))
