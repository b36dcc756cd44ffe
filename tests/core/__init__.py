"""Tests of the pure room: the method against published figures, slow models and geometry."""
