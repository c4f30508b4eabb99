"""Whether the sender goes into its port, stays tight, keeps its earth and stands the place."""

from __future__ import annotations

from typing import get_args

from PySide6.QtWidgets import QLabel, QWidget

from catalog.parts.fitting import Medium, MountedAt, SenderFitting, Track
from catalog.quantities.kinds import Kind
from catalog.quantities.numerals import DecimalMark
from catalog.threads.designation import parse_thread
from catalog.threads.standards import threads
from catalog.threads.thread import Gender
from retrofit.desk.edits import Area, Edit, set_sender
from retrofit.desk.steps.calliper_card import CalliperCard
from retrofit.desk.steps.chain_card import ChainCard, as_entry
from retrofit.desk.steps.fit_answers import THREADS, FitAnswers
from retrofit.desk.steps.fit_fields import Bound, FitFields, Owner, edit_of, grams, whole
from retrofit.desk.steps.page import Card, FoldCard, StepPage
from retrofit.desk.theme import Theme
from retrofit.desk.widgets.field import Field
from retrofit.desk.widgets.media_boxes import MediaBoxes
from retrofit.desk.widgets.sized_view import SizedView
from retrofit.desk.workplace import Workplace
from retrofit.drawing.chain import Mounted
from retrofit.drawing.look import Look
from retrofit.drawing.thread_profile import thread_profile
from retrofit.plan.fit_document import Fit
from retrofit.plan.fit_said import si
from retrofit.plan.fits import Fitted

_MENDED_BY = {
    "seal": "seal0",
    "temperature_range": "hottest",
    "immersion": "probe",
    "place": "mounted_at",
    "switch": "operates",
    "lamp": "charge_bulb",
    "track": "track",
    "body_mass": "body_mass_grams",
}
"""Field that mends a check, where it is not called like the check's."""

_SWITCH = (
    "operates", "hysteresis", "switch_tolerance", "below", "contact_rating", "leak",
    "lamp_lights", "lamp_tested", "trial_at", "trial_error",
)  # fmt: skip
_CHARGE = ("charge_bulb", "charge_resistor", "charge_rated")
_PANEL = ("panel_hole", "panel_body", "panel_room", "panel_depth")
_THREADS = (*THREADS, "thread_length", "depth")
_EARTH = (
    "terminals", "earth_return", "isolated", "earth_lead", "earth_drop", "earth_current",
)  # fmt: skip
_RATINGS = (
    "max_pressure", "proof_pressure", "coldest", "hottest", "made_for_fuel", "track", "media",
)  # fmt: skip
_PLACE = (
    "mounted_at", "shared_with_controller", "port_coldest", "port_hottest", "probe",
    "probe_diameter", "wall", "highest_point", "bled", "joint_in_tank",
)  # fmt: skip


class FitStep(StepPage):
    """Threads, adapters, seals, earth, ratings, place, switch and panel."""

    CAUTIONS = frozenset(
        {
            "caution.coolant",
            "caution.oil",
            "caution.fuel",
            "caution.air",
            "caution.pressure",
            "caution.hot",
            "caution.water",
            "caution.waste",
            "caution.maybe_taper",
            "caution.taper",
            "caution.unknown_tank",
        }
    )

    AREAS = frozenset(Area) - {Area.NAME}

    def __init__(self, place: Workplace, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("fit", place, parent)
        self._theme = theme
        self._fields = FitFields(self)
        self._make_fields()
        self.answers = FitAnswers(self, theme, self._mended_at)
        self.profile = SizedView()
        self.calliper = CalliperCard(self.text("calliper"), place.reader)
        self.calliper.picked.connect(self._picked)
        self._arrange()
        theme.changed.connect(self._draw)
        self.read()

    # --- fields ---------------------------------------------------------------------------------

    def _make_fields(self) -> None:
        make = self._fields
        self._thread_line("thread", "fitting", "male")
        self._thread_line("port_thread", "port", "female")
        lengths: tuple[tuple[str, Owner, str], ...] = (
            ("thread_length", "fitting", "thread_length"), ("depth", "port", "depth"),
            ("probe", "fitting", "probe"), ("wall", "port", "wall"),
            ("probe_diameter", "fitting", "probe_diameter"),
            ("body_length", "fitting", "body_length"),
            ("adapter_thread", "fit", "adapter_thread"),
            ("panel_hole", "panel", "hole"), ("panel_body", "panel", "body"),
            ("panel_room", "panel", "room"), ("panel_depth", "panel", "depth"),
        )  # fmt: skip
        for name, owner, attribute in lengths:
            make.amount(name, Bound(owner, attribute), Kind.LENGTH)
        masses: tuple[tuple[str, Owner], ...] = (
            ("body_mass_grams", "fitting"),
            ("beside_grams", "fit"),
        )
        for name, owner in masses:
            make.line(name, Bound(owner, name), grams, lambda value: f"{value:g} g")
        make.yes_no("supported", Bound("fit", "supported"))
        make.line("terminals", Bound("fitting", "terminals"), whole, str)
        self._returns = self.word_field(
            "earth_return",
            ("body", "insulated", "either", "unknown"),
            self._returned,
            label=self.place.reader.text("step.sender.earth_return"),
        )
        for name in ("isolated", "earth_lead", "joint_in_tank", "lamp_tested"):
            make.yes_no(name, Bound("fit", name))
        make.amount("earth_drop", Bound("fit", "earth_drop"), Kind.VOLTAGE, "figure")
        make.amount("earth_current", Bound("fit", "earth_current"), Kind.CURRENT, "figure")
        self._make_ratings()
        self._make_switch()

    def _make_ratings(self) -> None:
        make, text = self._fields, self.place.reader.text
        for name in ("max_pressure", "proof_pressure"):
            make.amount(name, Bound("fitting", name), Kind.PRESSURE, "figure")
        for name in ("coldest", "hottest"):
            make.amount(name, Bound("fitting", name), Kind.TEMPERATURE, "figure")
            make.amount(f"port_{name}", Bound("port", name), Kind.TEMPERATURE, "figure")
        make.yes_no("made_for_fuel", Bound("fitting", "made_for_fuel"))
        tracks = [(word, text(f"fit.track.{word}")) for word in get_args(Track)]
        make.word("track", Bound("fitting", "track"), tracks)
        places = [(word, as_entry(text(f"place.at.{_key(word)}"))) for word in get_args(MountedAt)]
        make.word("mounted_at", Bound("port", "mounted_at"), places)
        for name in ("highest_point", "bled", "shared_with_controller"):
            make.yes_no(name, Bound("port", name))
        media = [(word, text(f"medium.named.{_key(word)}")) for word in get_args(Medium)]
        self.media = MediaBoxes(media, self.text("media"))
        self.fields["media"] = Field(self.text("media"), self.media, self._hint("media"))
        self.media.chosen.connect(self._stated_for)

    def _make_switch(self) -> None:
        make, text = self._fields, self.place.reader.text
        make.amount("operates", Bound("switch", "operates"), "reading")
        make.amount("hysteresis", Bound("switch", "hysteresis"), "difference")
        make.amount("switch_tolerance", Bound("switch", "tolerance"), "difference", "tolerance")
        below = [(word, text(f"fit.below.{word}")) for word in ("open", "closed", "unknown")]
        make.word("below", Bound("switch", "below"), below)
        make.amount("contact_rating", Bound("switch", "contact_rating"), Kind.CURRENT, "figure")
        make.amount("leak", Bound("switch", "leak"), Kind.RESISTANCE, "figure")
        lights = [
            (word, as_entry(text(f"fit.lights.{word}")))
            for word in ("switch closes", "switch opens", "unknown")
        ]
        make.word("lamp_lights", Bound("fit", "lamp_lights"), lights)
        make.amount("trial_at", Bound("trial", "at"), "reading")
        make.amount("trial_error", Bound("trial", "error"), "difference")
        make.amount("charge_bulb", Bound("charge", "bulb"), Kind.POWER)
        make.amount("charge_resistor", Bound("charge", "resistor"), Kind.RESISTANCE)
        make.amount("charge_rated", Bound("charge", "rated"), Kind.POWER)

    def _thread_line(self, name: str, owner: Owner, gender: Gender) -> None:
        def understood(words: str, _: DecimalMark) -> str:
            return parse_thread(words, gender).designation

        editor = self._fields.line(name, Bound(owner, "thread"), understood, str)
        known = [one.designation for one in threads() if one.part(gender) is not None]
        editor.offer(known)

    # --- layout ---------------------------------------------------------------------------------

    def _arrange(self) -> None:
        thread = Card(self.text("threads"))
        for name in THREADS:
            thread.add(self.fields[name])
        self.answers.add_to(thread, _THREADS, self.profile)
        for name in ("thread_length", "depth"):
            thread.add(self.fields[name])
        self.chain = ChainCard(self, self._theme, self.answers)
        for name in (
            "body_mass_grams",
            "body_length",
            "supported",
            "adapter_thread",
            "beside_grams",
        ):
            self.chain.card.add(self.fields[name])
        earth, ratings = self._card("earth", _EARTH), self._card("ratings", _RATINGS)
        place = self._card("place", _PLACE)
        self._switch = self._folded("switch", _SWITCH)
        self._charge = self._folded("charge", _CHARGE)
        self._panel = self._folded("panel", _PANEL)
        never = QLabel(self.text("never_force"))
        never.setObjectName("caution")
        never.setWordWrap(True)
        self.column.addWidget(self.answers.worst)
        self.column.addWidget(thread)
        self.column.addWidget(never)
        self.column.addWidget(self.caution_line())
        self.column.addWidget(self.calliper)
        self.column.addWidget(self.chain.card)
        for part in (earth, ratings, place, self._switch, self._charge, self._panel):
            self.column.addWidget(part)
        self.column.addStretch(1)

    def _card(self, title: str, names: tuple[str, ...]) -> Card:
        card = Card(self.text(title), columns=3)
        self.answers.add_to(card, names)
        for name in names:
            card.add(self.fields[name], wide=name == "media")
        return card

    def _folded(self, title: str, names: tuple[str, ...]) -> FoldCard:
        card = FoldCard(self.text(title))
        self.answers.add_to(card, names)
        for name in names:
            card.add(self.fields[name])
        return card

    # --- showing --------------------------------------------------------------------------------

    @property
    def _found(self) -> Fitted:
        return self.place.assessment().fit

    def read(self) -> None:
        """Show the fit as it is now."""
        pairing, duty = self.place.view.pairing, self.place.view.plan.duty
        fit, fitting = pairing.fit or Fit(), pairing.sender.fitting or SenderFitting()
        self._fields.read()
        self.media.set_words(fitting.media)
        self._returns.set_word(pairing.sender.earth_return)
        tee = self._found.chain is not None and any(
            piece.kind == "tee" for piece in self._found.chain.pieces
        )
        shown = {
            "beside_grams": tee,
            "adapter_thread": self._found.chain is not None and bool(self._found.chain.pieces),
            "supported": self._found.chain is not None,
            "probe": duty.quantity == "temperature",
            "probe_diameter": duty.quantity == "temperature",
            "wall": duty.quantity == "temperature",
            "highest_point": duty.quantity == "temperature",
            "bled": duty.quantity == "temperature" and fit.port.highest_point != "no",
            "made_for_fuel": duty.fuel != "no",
            "joint_in_tank": duty.fuel != "no",
            "track": duty.quantity == "level",
        }
        there = fitting.switch is not None
        shown |= dict.fromkeys(_SWITCH[1:8], there)
        shown |= {"trial_at": there, "trial_error": fit.trial is not None}
        shown |= dict.fromkeys(_CHARGE[1:], fit.charge_lamp is not None)
        for name, visible in shown.items():
            self.fields[name].setVisible(visible)
        self._switch.open(opened=there)
        self._charge.open(opened=fit.charge_lamp is not None)
        self._panel.open(opened=fit.panel.said)
        self._draw()

    def _draw(self) -> None:
        """Draw the threads of the joint in the port, and the chain."""
        found, pairing = self._found, self.place.view.pairing
        fit, fitting = pairing.fit or Fit(), pairing.sender.fitting or SenderFitting()
        pair = found.direct
        self.profile.setVisible(pair is not None)
        if pair is not None:
            look = Look(self._theme.palette, self.place.reader.renderer)
            self.profile.draw_with(lambda across: thread_profile(pair, look, across))
        mounted = Mounted(
            si(fitting.body_length, Kind.LENGTH),
            si(fitting.thread_length, Kind.LENGTH),
            si(fitting.probe, Kind.LENGTH),
            si(fit.port.wall, Kind.LENGTH),
            si(fit.adapter_thread, Kind.LENGTH),
        )
        self.chain.show(fit, found, mounted)
        self.answers.show(found, self.place.assessment().checks)

    def go_to(self, field: str) -> None:
        """Go to the field that mends a check, its card unfolded."""
        name = self._mended_at(field)
        cards = ((_SWITCH, self._switch), (_CHARGE, self._charge), (_PANEL, self._panel))
        for names, card in cards:
            card.open(opened=name in names)
        if not self.fields.get(name, self).isVisibleTo(self):
            name = "thread"
        super().go_to(name)

    def _mended_at(self, field: str) -> str:
        """Return the field of this step that mends a check, for the one that the check names."""
        if field == "return":
            known = self.place.view.pairing.sender.earth_return != "unknown"
            return "isolated" if known else "earth_return"
        return _MENDED_BY.get(field, field)

    # --- edits ----------------------------------------------------------------------------------

    def _returned(self, word: str) -> Edit:
        return set_sender(self.place.view.label, "earth_return", word)

    def _stated_for(self, words: tuple[str, ...]) -> None:
        edit = edit_of(self.place.view.label, "media", Bound("fitting", "media"), lambda: words)
        self.fields["media"].show_problem(self.place.attempt(edit))

    def _picked(self, designation: str, gender: str) -> None:
        name, owner = ("thread", "fitting") if gender == "male" else ("port_thread", "port")
        bound = Bound("fitting" if owner == "fitting" else "port", "thread")
        edit = edit_of(self.place.view.label, name, bound, lambda: designation)
        self.fields[name].show_problem(self.place.attempt(edit))


def _key(word: str) -> str:
    return word.replace(" ", "_")
