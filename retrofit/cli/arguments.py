"""What the command line understands: commands, options and their help."""

from __future__ import annotations

import argparse
import difflib
import re
from typing import Any, get_args

import retrofit
from catalog.exchange.choices import Choice
from catalog.message import message
from catalog.parts.fields import QuantityName
from catalog.parts.laws import Shape
from retrofit.cli.terminal import Terminal
from retrofit.finder.proven import RANKS
from retrofit.installation import YesNo
from retrofit.plan.document import Medium
from retrofit.plan.draft import MOVEMENTS
from retrofit.plan.stages import POINTS
from retrofit.trim.preferred import SERIES


def _points(text: str) -> int:
    number = int(text)
    if not 2 <= number <= POINTS:
        raise argparse.ArgumentTypeError(f"2 to {POINTS}")
    return number


def _rows(text: str) -> int:
    number = int(text)
    if not 1 <= number <= RANKS:
        raise argparse.ArgumentTypeError(f"1 to {RANKS}")
    return number


_BELOW_ZERO = re.compile(r"-[.,]?\d\S*")


def _joined(argv: list[str]) -> list[str]:
    """Return the words with a value below zero tied to its option.

    argparse takes "-40°C" for an option of its own; what is wrong with it the command says.

    Examples
    --------
    >>> _joined(["thread", "male", "--diameter", "-9.8mm"])
    ['thread', 'male', '--diameter=-9.8mm']
    """
    found: list[str] = []
    for word in argv:
        option = found[-1] if found else ""
        if _BELOW_ZERO.fullmatch(word) and option.startswith("--") and "=" not in option:
            found[-1] = f"{option}={word}"
        else:
            found.append(word)
    return found


class Arguments:
    """The parser of the command line, its help in the user's language.

    Parameters
    ----------
    terminal : Terminal
        Renders the help.
    """

    def __init__(self, terminal: Terminal) -> None:
        self._terminal = terminal
        self.parser = argparse.ArgumentParser(
            "retrofit", description=self._help("cli.help.program"), allow_abbrev=False
        )
        version = f"retrofit {retrofit.__version__}"
        self.parser.add_argument("--version", action="version", version=version)
        self._commands = self.parser.add_subparsers(dest="command", metavar="COMMAND")
        self._assess()
        self._export()
        self._import()
        self._find()
        self._identify()
        self._new()
        self._parts()
        self._command("schema")
        self._sheet()
        self._thread()
        self._trim()

    def parse(self, argv: list[str]) -> argparse.Namespace:
        """Return the options; argparse leaves with code 2 where they make no sense."""
        options, unknown = self.parser.parse_known_args(_joined(argv))
        if unknown:
            self._refuse(options.command, unknown)
        return options

    def _refuse(self, command: str, unknown: list[str]) -> None:
        """Leave with what is not understood, and the options that may be meant."""
        parser = self._commands.choices[command]
        known = [name for name in parser._option_string_actions if name.startswith("--")]
        meant: list[str] = []
        for word in unknown:
            name = word.partition("=")[0]
            meant += [one for one in known if len(name) > 3 and one.startswith(name)]
            meant += difflib.get_close_matches(name, known, n=2, cutoff=0.7)
        said = f"unrecognized arguments: {' '.join(unknown)}"
        if meant:
            near = ", ".join(dict.fromkeys(meant))
            said += f". {self._terminal.text(message('cli.help.meant', near=near))}"
        parser.error(said)

    def _help(self, key: str) -> str:
        text = self._terminal.text(message(key))
        return text.replace("\N{NO-BREAK SPACE}", " ").replace("%", "%%")

    def _command(self, name: str) -> argparse.ArgumentParser:
        text = self._help(f"cli.help.{name}")
        return self._commands.add_parser(name, help=text, description=text, allow_abbrev=False)

    def _add(self, parser: argparse.ArgumentParser, name: str, **more: Any) -> None:
        key = name.lstrip("-").replace("-", "_").lower()
        command = parser.prog.split()[-1]
        parser.add_argument(name, help=self._help(f"cli.help.{command}.{key}"), **more)

    def _assess(self) -> None:
        parser = self._command("assess")
        self._add(parser, "plan", metavar="PLAN")
        self._add(parser, "--pairing", metavar="LABEL")
        self._add(parser, "--json", action="store_true")
        self._add(parser, "--points", type=_points, default=11, metavar="N")
        self._add(parser, "--sums", action="store_true")

    def _export(self) -> None:
        parser = self._command("export")
        self._add(parser, "out", metavar="OUT.json|FOLDER")
        self._add(parser, "words", nargs="*", metavar="WORD")
        self._add(parser, "--own", action="store_true")
        self._add(parser, "--quantity", choices=get_args(QuantityName))
        self._add(parser, "--kind", choices=("sender", "gauge"))
        self._add(parser, "--force", action="store_true")

    def _import(self) -> None:
        parser = self._command("import")
        self._add(parser, "files", nargs="+", metavar="FILE|FOLDER")
        self._add(parser, "--apply", action="store_true")
        self._add(parser, "--on-conflict", choices=get_args(Choice))
        self._add(parser, "--json", action="store_true")

    def _identify(self) -> None:
        parser = self._command("identify")
        self._add(parser, "part", choices=("sender", "gauge"))
        self._add(parser, "--quantity", choices=get_args(QuantityName))
        self._add(parser, "--point", action="append", default=[], metavar="A=B")
        self._add(parser, "--table", metavar="FILE.csv")
        self._add(parser, "--rest", metavar="OHMS")
        self._add(parser, "--ambient", metavar="TEMPERATURE")
        self._add(parser, "--direction", choices=("rising", "falling"))
        self._add(parser, "--tolerance", metavar="SHARE")
        self._add(parser, "--open", metavar="low|high|VALUE")
        self._add(parser, "--scale", metavar="LOW..HIGH")
        self._add(parser, "--supply-signal", metavar="OHMS|open")
        self._add(parser, "--signal-earth", metavar="OHMS|open")
        self._add(parser, "--meter-error", metavar="SHARE")
        self._add(parser, "--meter-digits", type=int, metavar="N")
        self._add(parser, "--meter-counts", type=int, metavar="N")
        self._add(parser, "--json", action="store_true")

    def _new(self) -> None:
        parser = self._command("new")
        self._add(parser, "out", metavar="OUT.json")
        for name in ("--sender", "--gauge"):
            self._add(parser, name, required=True, metavar="KEY|CSV")
        self._add(parser, "--quantity", choices=get_args(QuantityName))
        self._add(parser, "--name", default="", metavar="TEXT")
        self._add(parser, "--notes", default="", metavar="TEXT")
        for name in ("--low", "--high", "--allowed", "--capacity"):
            self._add(parser, name, metavar="VALUE")
        self._add(parser, "--mark", action="append", default=[], metavar="NAME=VALUE")
        self._add(parser, "--medium", choices=get_args(Medium), default="unknown")
        self._add(parser, "--controller", choices=get_args(YesNo), default="unknown")
        self._add(parser, "--afloat", choices=get_args(YesNo), default="unknown")
        for name in ("--supply", "--supply-low", "--supply-high"):
            self._add(parser, name, metavar="VOLTS")
        self._add(parser, "--sender-earth", metavar="OHMS")
        self._add(parser, "--tolerance", metavar="SHARE")
        self._add(parser, "--dial-error", metavar="SHARE")
        self._add(parser, "--needle-width", metavar="SHARE")
        self._add(parser, "--trim", action="append", default=[], metavar="PLACE=OHMS")
        self._add(parser, "--movement", choices=MOVEMENTS)
        self._add(parser, "--shape", choices=get_args(Shape))
        self._add(parser, "--terminals", metavar="OHMS,OHMS,OHMS")
        self._add(parser, "--meter-error", metavar="SHARE")
        self._add(parser, "--sort", action="store_true")
        self._add(parser, "--force", action="store_true")

    def _parts(self) -> None:
        parser = self._command("parts")
        self._add(parser, "words", nargs="*", metavar="WORD")
        self._add(parser, "--quantity", choices=get_args(QuantityName))
        self._add(parser, "--kind", choices=("sender", "gauge"))

    def _sheet(self) -> None:
        parser = self._command("sheet")
        self._add(parser, "plan", metavar="PLAN")
        self._add(parser, "--pairing", metavar="LABEL")
        self._add(parser, "--paper", choices=("A4", "Letter"), default="A4")
        form = parser.add_mutually_exclusive_group()
        for name in ("html", "csv"):
            text = self._help(f"cli.help.sheet.{name}")
            form.add_argument(f"--{name}", action="store_true", help=text)
        out = self._help("cli.help.sheet.out")
        parser.add_argument("-o", "--out", metavar="FILE", help=out)
        self._add(parser, "--day", metavar="YYYY-MM-DD")
        self._add(parser, "--force", action="store_true")

    def _thread(self) -> None:
        parser = self._command("thread")
        self._add(parser, "part", choices=("male", "female"))
        for name in ("--diameter", "--pitch", "--second", "--apart", "--error", "--pitch-error"):
            self._add(parser, name, metavar="LENGTH")
        self._add(parser, "--tpi", metavar="TURNS")
        self._add(parser, "--worn", action="store_true")
        self._add(parser, "--json", action="store_true")

    def _trim(self) -> None:
        parser = self._command("trim")
        self._add(parser, "plan", metavar="PLAN")
        self._add(parser, "--pairing", metavar="LABEL")
        self._range(parser)
        self._resistors(parser)
        self._add(parser, "--untested", metavar="REASON")
        self._add(parser, "--apply", metavar="OUT.json")
        self._add(parser, "--certificate", metavar="FILE.json")
        self._add(parser, "--force", action="store_true")
        self._add(parser, "--json", action="store_true")

    def _range(self, parser: argparse.ArgumentParser) -> None:
        """Add over which range a plan is judged: the same in every command."""
        for name, end in (("--from", "low"), ("--to", "high")):
            text = self._help(f"cli.help.range.{end}")
            parser.add_argument(name, dest=f"range_{end}", help=text, metavar="VALUE")

    def _resistors(self, parser: argparse.ArgumentParser) -> None:
        """Add which resistors a trim may be made of: the same in every command."""
        of = parser.add_mutually_exclusive_group()
        for name, more in (
            ("--series", {"choices": SERIES, "default": "E24"}),
            ("--values", {"metavar": "OHMS,OHMS,…"}),
            ("--stock", {"metavar": "FILE.json"}),
        ):
            of.add_argument(name, help=self._help(f"cli.help.trim.{name[2:]}"), **more)
        wishes: tuple[tuple[str, dict[str, Any]], ...] = (
            ("--low", {"metavar": "OHMS"}),
            ("--high", {"metavar": "OHMS"}),
            ("--most", {"type": int, "choices": (1, 2, 3), "default": 2}),
            ("--pull-up", {"action": "store_true"}),
            ("--no-flattery", {"nargs": "?", "const": "", "metavar": "MARK"}),
        )
        for name, more in wishes:
            key = name[2:].replace("-", "_")
            parser.add_argument(name, help=self._help(f"cli.help.trim.{key}"), **more)

    def _find(self) -> None:
        parser = self._command("find")
        self._add(parser, "plan", metavar="PLAN")
        self._add(parser, "--pairing", metavar="LABEL")
        ways = parser.add_mutually_exclusive_group()
        for way in ("senders", "gauges", "pairs"):
            text = self._help(f"cli.help.find.{way}")
            ways.add_argument(f"--{way}", dest="way", action="store_const", const=way, help=text)
        parser.set_defaults(way="senders")
        self._range(parser)
        self._resistors(parser)
        self._add(parser, "--rows", type=_rows, default=10, metavar="N")
        self._add(parser, "--stations", type=int, choices=(1, 2))
        self._add(parser, "--earth-return", choices=("body", "insulated"))
        self._add(parser, "--system", type=int, choices=(6, 12, 24))
        self._add(parser, "--excluded", action="store_true")
        self._add(parser, "--pick", metavar="ROW|KEY")
        self._add(parser, "--apply", metavar="OUT.json")
        self._add(parser, "--force", action="store_true")
        self._add(parser, "--json", action="store_true")
