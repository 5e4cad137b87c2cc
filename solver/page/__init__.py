"""The local page: briefs, solving, hearing, seeing and exporting in a browser, served to this machine alone."""
