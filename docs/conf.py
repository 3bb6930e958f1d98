"""How Sphinx builds the pages: no asset from another machine, and every warning an error (make docs)."""

from airfettle import __version__

project = "Airfettle"
author = "the Airfettle project"
copyright = "the Airfettle project, MIT licence"
version = release = __version__

extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["_build", "pages_from_code"]
myst_heading_anchors = 4
html_theme = "furo"
html_title = f"Airfettle {__version__}"
html_static_path = ["_static"]
html_css_files = ["airfettle.css"]
html_copy_source = False
html_show_sourcelink = False
html_show_sphinx = False
html_theme_options = {
    "light_css_variables": {"color-brand-primary": "#1f4e79", "color-brand-content": "#1f4e79"},
    "dark_css_variables": {"color-brand-primary": "#9cc3e6", "color-brand-content": "#9cc3e6"},
    "footer_icons": [],
}
pygments_style = "friendly"
nitpicky = True
highlight_language = "none"
