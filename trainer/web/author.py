"""Pages of `author`."""

from flask import Blueprint

page = Blueprint("author", __name__)
