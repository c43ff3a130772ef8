"""The steps of a build: in which order, in which words, and whether each one is safe."""

from buildalong.build.steps._step import Kind, Step

__all__ = ["Kind", "Step"]
