"""Pages of `practise`."""

from flask import Blueprint

page = Blueprint("practise", __name__)
