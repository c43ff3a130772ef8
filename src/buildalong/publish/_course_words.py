"""Our own words on the page of a course."""

__all__ = ["FEED", "KICKER", "LESSONS", "PICTURE"]

KICKER = "A course of build-along lessons"
LESSONS = "Lessons"
PICTURE = "The finished board of this lesson, seen from above and aside"
FEED = "Feed of new lessons"
