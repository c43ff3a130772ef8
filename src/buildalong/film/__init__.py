"""Film: storyboard, narration, captions, chapters, shot list, overlays and the film itself, from a lesson."""

from buildalong.film._captions import captions_vtt, chapters_vtt
from buildalong.film._description import description
from buildalong.film._film import PRODUCTS, Film, film
from buildalong.film._lines import LINES, WIDEST, pieces
from buildalong.film._scenes import storyboard
from buildalong.film._script import narration_txt, script_html, shots_csv
from buildalong.film._shots import Shot, shots
from buildalong.film._slides import Slide, slides, slides_html
from buildalong.film._speech import spoken
from buildalong.film._storyboard import Scene, Storyboard
from buildalong.film._timing import (
    FRAME,
    MOST_READING,
    WORDS_PER_MINUTE,
    Cue,
    Timed,
    Timeline,
    clock,
    timeline,
)

__all__ = [
    "FRAME",
    "LINES",
    "MOST_READING",
    "PRODUCTS",
    "WIDEST",
    "WORDS_PER_MINUTE",
    "Cue",
    "Film",
    "Scene",
    "Shot",
    "Slide",
    "Storyboard",
    "Timed",
    "Timeline",
    "captions_vtt",
    "chapters_vtt",
    "clock",
    "description",
    "film",
    "narration_txt",
    "pieces",
    "script_html",
    "shots",
    "shots_csv",
    "slides",
    "slides_html",
    "spoken",
    "storyboard",
    "timeline",
]
