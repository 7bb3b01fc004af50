"""The legend table: what every cavity of a block is, typed as in a spreadsheet."""
