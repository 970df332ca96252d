"""Floor 6: a Dossier as pages. Takes dossiers and nothing else; knows no site engine."""

from asfound.pages.build import ASSETS, Register, Unread, asset_files, build_site, case_pages, pages_of_case
from asfound.pages.formats import Parquet
from asfound.pages.manual import HOME as MANUAL
from asfound.pages.manual import Command, Option, manual_pages
from asfound.pages.page import Asset, Entry, Options, Page, address, case_uri, document_uri, relative
from asfound.pages.paper import Paper, paper
from asfound.pages.pictures import Made, pictures_of
from asfound.pages.policy import marked, policy
from asfound.pages.search import NAME as SEARCH_INDEX
from asfound.pages.search import search_index
from asfound.pages.standalone import standalone

__all__ = [
    "ASSETS",
    "MANUAL",
    "SEARCH_INDEX",
    "Asset",
    "Command",
    "Entry",
    "Made",
    "Option",
    "Options",
    "Page",
    "Paper",
    "Parquet",
    "Register",
    "Unread",
    "address",
    "asset_files",
    "build_site",
    "case_pages",
    "case_uri",
    "document_uri",
    "manual_pages",
    "marked",
    "pages_of_case",
    "paper",
    "pictures_of",
    "policy",
    "relative",
    "search_index",
    "standalone",
]
