"""What the reading of one lesson has at hand, and the findings it collects on the way."""

from __future__ import annotations

from buildalong.finding import Finding, Place, Severity
from buildalong.lesson._folder import Folder
from buildalong.lesson._toml import Document
from buildalong.parts import Catalogue

__all__ = ["Reading"]


class Reading:
    """One reading of one lesson; ``sound`` turns false where its circuit is not whole."""

    def __init__(self, source: Folder, document: Document, known: Catalogue) -> None:
        self.source = source
        self.document = document
        self.catalogue = known
        self.places = document.places
        self.trial_names: dict[str, str] = {}
        """A trial's name as the author wrote it -> in the language of this reading."""
        self.findings: list[Finding] = []
        self.sound = True

    def error(self, code: str, message: str, hint: str = "", place: Place | None = None, *about: str) -> None:
        self.findings.append(Finding(Severity.ERROR, code, message, hint, place, about))
