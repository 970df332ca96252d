"""Who signed the case, and what their signatures still cover."""

from __future__ import annotations

from functools import cached_property

from markupsafe import Markup, escape
from msgspec import Struct

from asfound.measure import show_date
from asfound.model.approval import ROLES, Approval
from asfound.pages.part import Part
from asfound.pages.texts import capital

_SHOWN = 12


class SignatureRow(Struct, frozen=True):
    """An approval as a table shows it.

    tone    how the state is marked; empty where nothing is against it
    """

    path: str
    role: str
    signer: str
    key: str
    on: str
    state: Markup
    tone: str


class SignaturesPart(Part):
    """Parts that speak of approvals."""

    @cached_property
    def signed_by(self) -> list[Markup]:
        """A sentence for each role; empty where the case is open, since an open case is not signed."""
        if self.case.open and not self.core.approvals:
            return []
        return [self._signed_as(role) for role in ROLES]

    def _signed_as(self, role: str) -> Markup:
        mine = [one for one in self.core.approvals if one.role == role]
        good = [one for one in mine if one.verified]
        current = [one for one in good if one.current]
        if current:
            one = current[-1]
            on = show_date(one.statement.on) if one.statement else ""
            said = "{}: <b>{}</b>, for the case as it stands, assessed on {}."
            return Markup(said).format(capital(role), one.signer, on)
        if good:
            one = good[-1]
            said = '<span class="af-gap">{}: {} signed, but not for the case as it stands.</span> {}'
            return Markup(said).format(capital(role), one.signer, self._changed(one))
        if mine:
            said = '<span class="af-out">{}: there is an approval, and it does not hold.</span>'
            return Markup(said).format(capital(role))
        return Markup('<span class="af-gap">{}: nobody has signed.</span>').format(capital(role))

    @cached_property
    def signature_rows(self) -> list[SignatureRow]:
        """Every approval, in the order in which they were made."""
        return [self._signature(one) for one in self.core.approvals]

    def _signature(self, one: Approval) -> SignatureRow:
        if not one.verified:
            state, tone = Markup("Does not hold: {}.").format(one.why), "af-out"
        elif one.current:
            state, tone = Markup("Holds, and speaks of the case as it stands."), ""
        else:
            state, tone = Markup("Holds for an earlier state of the case. {}").format(self._changed(one)), "af-gap"
        if one.superseded:
            state += Markup(" Another approval in this role came after it.")
        on = show_date(one.statement.on) if one.statement else "not known"
        return SignatureRow(one.path, one.role or "not known", one.signer or "not known", one.key, on, state, tone)

    def _changed(self, one: Approval) -> Markup:
        """What changed since it was signed: records, linked; files only where no record tells it."""
        names = one.changed or one.files
        if not names:
            return Markup("{}.").format(capital(one.why)) if one.why else Markup("")
        links = [self.link(name) if self.href(name) else Markup(escape(name)) for name in names[:_SHOWN]]
        more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
        return Markup("Changed since: {}{}.").format(Markup(", ").join(links), more)
