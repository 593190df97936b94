"""Pages of `manage`."""

from flask import Blueprint

page = Blueprint("manage", __name__)
