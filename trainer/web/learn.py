"""Pages of `learn`."""

from flask import Blueprint

page = Blueprint("learn", __name__)
