"""The files that leave the house with the video, from one publication: description, chapters, card, linked data, comment."""

from __future__ import annotations

from scriptkit import pages_publish
from scriptkit.documents import render
from scriptkit.problems import Problem
from scriptkit.publish.description import Description, fitted
from scriptkit.publish.publication import Publication
from scriptkit.timed_text.webvtt import write_chapters


def publish_files(publication: Publication, own_templates: str = "") -> tuple[dict[str, str], list[Problem]]:
    """Files by name, and what a person must be told of them. Raises CannotDo where a template cannot be filled in."""

    def rendered(description: Description) -> str:
        return render("description.txt", own_templates, **pages_publish.description(description))

    text, shortened = fitted(publication, rendered)
    data = pages_publish.json_ld(publication)
    card, two_pages = pages_publish.card(publication, data)
    chapters = publication.chapters
    files = {
        "description.txt": text,
        "chapters.vtt": write_chapters([(c.start_ms, c.name) for c in chapters.chapters], chapters.end_ms)
        if chapters.chapters
        else "WEBVTT\n",  # a cut in which no step was found
        "pinned-comment.txt": render("pinned-comment.txt", own_templates, **pages_publish.pinned_comment(publication)),
        "recipe-card.html": render("recipe-card.html", own_templates, **card),
        "recipe.jsonld": data + "\n",
    }
    return files, [*publication.problems, *shortened, *two_pages]
