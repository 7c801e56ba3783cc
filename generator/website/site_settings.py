"""What finished pages take from the settings of the site, as one text that names it all."""
from __future__ import annotations

import json
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig

from generator.language.source.files_beside import file_digest

# where the site stands on this machine, and what is checked anew in each build
WITHOUT_EFFECT = frozenset({"config_file_path", "site_url", "docs_dir", "site_dir", "watch", "dev_addr",
                            "strict",
                            "quiet", "hooks", "plugins"})
PLAIN = (str, int, float, list, dict, type(None))       # what most settings are
TEMPLATES = frozenset({".html", ".xml", ".jinja"})
# with which a plugin changes a page's text
TEXT_EVENTS = ("page_read_source", "page_markdown", "page_content")


def settings_text(config: MkDocsConfig) -> str:
    """All that ``mkdocs.yml`` says, and the templates of the theme."""
    said = {key: value for key, value in config.items()
            if key not in WITHOUT_EFFECT and isinstance(value, PLAIN)}
    # a hook has no settings
    said["plugins"] = [(name, dict(getattr(each, "config", {}))) for name, each in config.plugins.items()]
    templates = [(path.relative_to(folder).as_posix(), file_digest(path))
                 for folder in map(Path, config.theme.dirs) for path in sorted(folder.rglob("*"))
                 if path.suffix in TEMPLATES]
    return json.dumps([said, templates], sort_keys=True, default=repr)


def changes_texts(config: MkDocsConfig, ours: object) -> bool:
    """Whether another plugin or a hook has a hand in the texts of pages: then none can be kept finished."""
    return any(getattr(method, "__self__", None) is not ours
               for event in TEXT_EVENTS for method in config.plugins.events[event])
