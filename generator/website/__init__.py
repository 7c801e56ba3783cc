"""The MkDocs plugin and what the theme is handed.

What MkDocs does, learnt by trying:

- It strips the front matter before ``on_page_markdown`` and publishes broken
  YAML as text without a word, even with ``--strict``. So the raw file is read,
  for its line numbers too.
- It empties the site's folder after ``on_pre_build`` and before ``on_files``,
  and finds dead links only when every page is written. So ``on_config`` sends
  it to a folder of its own beside the site (``AtomicPublish``), sources are read
  and pictures drawn in ``on_pre_build``, and ``on_shutdown`` lets the two change places.
- Files added in ``on_files`` through ``File.generated`` are copied and checked
  as targets of links. A page's address may be changed there through
  ``dest_uri``, as long as nothing has asked for its ``url`` yet; links in
  Markdown still start from where its source stands.
- A warning on a ``mkdocs.plugins.*`` logger fails ``--strict``. So errors are
  logged at ERROR and stop the build before anything is written; warnings are
  logged at INFO, and stand on the page under ``mkdocs serve``.
- ``theme: {name: null, custom_dir: theme}`` works: there is no theme below ours.
- Inline SVG must not go through Markdown: it is parsed by Markdown's HTML
  blocks and again by the link check, two thirds of the time of a build. So the
  text alone is converted, and templates put the pictures between its parts.
- ``mkdocs build --dirty`` gives pages that were not read no title in the
  navigation, so it is not used.

A tutorial is worked out once (``tutorial_pages``, the only way from here to
plans and pictures) and its finished bodies, cards and files are stored
(``finished``); ``sources`` takes them from the store as long as nothing that
they are made from has changed, and what it imports then draws nothing. Each
build frames the bodies anew, since menus and links hang on the other pages.

A page beside the tutorials that is made from data (the bench, the words, the
two rules, the search, the calls, the findings) is a line in ``DATA_PAGES`` of ``data_pages``
with a function in ``data_page_contents`` that gives its template what it shows, a template
``theme/<name>.html``, its title ``page_<name>`` and its words in the catalogue.
It then stands at ``<name>/`` in every language and in the foot of every page.
The gallery, and the page of the shelf in figures, are framed anew in each build from stored cards. A choice
of the gallery's filters is a trait of ``filters``, an attribute ``data-…`` of the card in
``theme/parts/card.html`` and a line in ``theme/js/gallery.js``.
"""
