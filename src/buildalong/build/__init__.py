"""Building: placing the parts on a board, and the steps that lead a beginner through it."""

from buildalong.build.steps import Step, check_steps, final_checks, make_steps

__all__ = ["Step", "check_steps", "final_checks", "make_steps"]
