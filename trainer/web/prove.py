"""Pages of `prove`."""

from flask import Blueprint

page = Blueprint("prove", __name__)
