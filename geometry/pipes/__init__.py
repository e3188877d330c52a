"""Pipes through a room: what they meet, the ways they find, and the discharge of unvented stores measured."""
