"""Pages of `sign_in`."""

from flask import Blueprint

page = Blueprint("sign_in", __name__)
