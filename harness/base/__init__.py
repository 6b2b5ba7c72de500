"""Words that everybody uses: spans, findings, units, copper, colours."""
