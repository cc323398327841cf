/* Written by rule-strings.py from data/rules, for xgettext. Keep what stands in {} as it is. */
