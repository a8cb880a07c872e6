"""The role that each call needs. Every call stands here; one that does not is for owners only."""

from __future__ import annotations

from collections.abc import Mapping
from enum import IntEnum


class Role(IntEnum):
    """Who may make a call; a higher role may do what a lower one may. A reader reads one car and nothing of the others."""

    ANYONE = 0
    READER = 1
    BUILDER = 2
    OWNER = 3


_BY_ROLE: Mapping[Role, str] = {
    Role.ANYONE: """
        health.get_health health.get_ready health.get_metrics reference.get_vocabulary reference.get_catalog reference.get_schema
        reference.get_openapi reference.get_openapi_page reference.get_vocabulary_page reference.get_catalog_page reference.get_reference_style
        devices.post_device
        pages.get_start pages.get_pair pages.get_share pages.get_file desk.get_desk_file
        capture.get_capture capture.get_capture_file
    """,
    Role.READER: """
        cars.get_car cars.get_builds cars.get_build
        documents.get_document documents.get_build_checks attachments.get_file
        books.get_books books.get_book books.get_pdf books.get_packet books.get_site_root books.get_site_index books.get_site
        devices.get_me devices.post_cookie devices.delete_cookie
    """,
    Role.BUILDER: """
        cars.post_car cars.get_cars cars.patch_car cars.post_build cars.patch_build
        records.post_record records.get_records records.get_record records.patch_record records.delete_record records.get_revisions
        documents.post_document documents.post_build_what_if history.get_history search.get_search recall.get_recall
        attachments.post_attachment uploads.post_upload uploads.get_upload uploads.patch_upload uploads.delete_upload
        books.post_book books.delete_book
        desk.get_builds_page desk.get_car_page desk.get_build_page desk.get_what_if desk.get_record_page desk.get_search_page
        entry.get_new_car entry.get_car_form entry.get_new_build entry.get_build_form entry.get_new_record entry.get_record_form
        capture.get_open_builds capture.get_state
        checks.post_checks checks.post_what_if
    """,
    Role.OWNER: """
        devices.get_devices devices.post_code devices.delete_device
        attachments.get_received shares.post_share shares.get_shares shares.delete_share
        desk.get_devices_page
    """,
}
#: The role that a call needs, by the name of its view.
NEEDS: Mapping[str, Role] = {view: role for role, views in _BY_ROLE.items() for view in views.split()}


def needed(view: str | None) -> Role:
    """The role that a view needs. No view (an address that does not exist) tells anyone so."""
    return Role.ANYONE if view is None else NEEDS.get(view, Role.OWNER)
