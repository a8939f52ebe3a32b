"""A part's record, and the job card for the machine, on paper. Bytes go out; no file is written here."""

from core.printing.card_pdf import card_pdf
from core.printing.letters import Fonts
from core.printing.record_pdf import record_pdf
from core.printing.set_pdf import set_pdf

__all__ = ["Fonts", "card_pdf", "record_pdf", "set_pdf"]
