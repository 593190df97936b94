"""Pages of `train`."""

from flask import Blueprint

page = Blueprint("train", __name__)
