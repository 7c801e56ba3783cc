"""A PDF document as a whole: how readers show it, its layers, and the same bytes each time.

Several of our documents as one: outline, page labels, and one layer for each process.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pikepdf


def pdf_bundle(title: str, parts: Sequence[tuple[str, bytes]], language: str = "en") -> bytes:
    """The documents one behind the other, each named in the outline. Same parts, same bytes.

    Pages are labelled by their part and counted in it (ISO 32000-1, 12.4.2). Layers of one process are one
    layer, whichever part they come from.
    """
    import pikepdf

    whole, layers = pikepdf.new(), dict[str, pikepdf.Object]()
    labels: list[object] = []
    with whole.open_outline() as outline:
        for name, data in parts:
            first = len(whole.pages)
            outline.root.append(pikepdf.OutlineItem(name, first))
            labels += [first, pikepdf.Dictionary(P=pikepdf.String(f"{name} "), S=pikepdf.Name.D)]
            with pikepdf.open(BytesIO(data)) as part:
                whole.pages.extend(part.pages)
    for page in whole.pages:
        _share_layers(page.Resources, layers)
    whole.Root.PageLabels = pikepdf.Dictionary(Nums=pikepdf.Array(labels))
    whole.Root.PageMode = pikepdf.Name.UseOutlines
    return saved_document(whole, title, language, list(layers.values()))


def saved_document(document: pikepdf.Pdf, title: str, language: str,
                   layers: Sequence[pikepdf.Object]) -> bytes:
    """The bytes of a document that readers show by its title and never scale. Same document, same bytes."""
    from pikepdf import Dictionary, Name, ObjectStreamMode, String

    root = document.Root
    root.Lang = String(language)
    root.ViewerPreferences = Dictionary(PrintScaling=Name("/None"), DisplayDocTitle=True,
                                        PickTrayByPDFSize=True)
    document.docinfo["/Title"] = String(title)
    if layers:
        root.OCProperties = Dictionary(OCGs=[*layers], D=Dictionary(
            Name=String("Layers"), BaseState=Name.ON, Order=[*layers], ON=[*layers]))
    out = BytesIO()
    document.save(out, deterministic_id=True, compress_streams=True, min_version="1.7",
                  object_stream_mode=ObjectStreamMode.disable)
    return out.getvalue()


def _share_layers(resources: pikepdf.Object, layers: dict[str, pikepdf.Object]) -> None:
    """Let what is drawn with these resources use the layers that are there, and add those that are not.

    By name within one page or plan: pikepdf gives the keys as a set, whose order differs in each process.
    """
    for properties in _layer_names(resources):
        for key in sorted(properties.keys()):
            properties[key] = layers.setdefault(key, properties[key])


def _layer_names(resources: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """The names of layers in the resources of a page and of the plans that it shows."""
    if "/Properties" in resources:
        yield resources.Properties
    if "/XObject" in resources:
        for form in resources.XObject.values():
            yield from _layer_names(form.Resources)
