-- Orders look for flaws of their pieces, and books read on look for the supplies of an entry.
CREATE INDEX flaw_of_find ON flaw (find);
CREATE INDEX supply_move_of_entry ON supply_move (entry) WHERE entry IS NOT NULL;
