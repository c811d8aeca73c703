"""The page in the browser: a folder of specs on a local server, drawn while they are changed."""
