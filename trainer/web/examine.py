"""Pages of `examine`."""

from flask import Blueprint

page = Blueprint("examine", __name__)
