-- What happened, in order. Never changed and never deleted.
CREATE TABLE event (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL CONSTRAINT "event at: a moment in UTC such as 2026-03-07T10:00:00Z"
    CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T*Z'),
  kind TEXT NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body)),
  corrects INTEGER REFERENCES event (id),
  source TEXT,
  external TEXT,
  CONSTRAINT "import key: source and external number go together"
    CHECK ((source IS NULL) = (external IS NULL))
) STRICT;
CREATE UNIQUE INDEX event_import_key ON event (source, external) WHERE source IS NOT NULL;
CREATE TRIGGER event_stays BEFORE UPDATE ON event
BEGIN SELECT RAISE (ABORT, 'an event is never changed; enter a correction'); END;
CREATE TRIGGER event_is_kept BEFORE DELETE ON event
BEGIN SELECT RAISE (ABORT, 'an event is never deleted; enter a correction'); END;

-- Which records an event is about.
CREATE TABLE event_record (
  event INTEGER NOT NULL REFERENCES event (id) DEFERRABLE INITIALLY DEFERRED,
  record TEXT NOT NULL,
  number INTEGER NOT NULL,
  PRIMARY KEY (event, record, number)
) STRICT, WITHOUT ROWID;
CREATE INDEX event_record_history ON event_record (record, number, event);

-- Where goods are bought.
CREATE TABLE place (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL CONSTRAINT "place name: must not be empty" CHECK (trim(name) <> ''),
  note TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE venue (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CONSTRAINT "venue name: must not be empty" CHECK (trim(name) <> ''),
  terms TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(terms))
) STRICT;

CREATE TABLE rate_card (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CONSTRAINT "rate card name: must not be empty" CHECK (trim(name) <> ''),
  text TEXT NOT NULL
) STRICT;

CREATE TABLE setting (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CONSTRAINT "setting name: must not be empty" CHECK (trim(name) <> ''),
  value TEXT NOT NULL,
  source TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE haul (
  id INTEGER PRIMARY KEY,
  place INTEGER REFERENCES place (id),
  date TEXT NOT NULL CONSTRAINT "haul date: a day such as 2026-03-07" CHECK (date IS date(date)),
  paid INTEGER NOT NULL CONSTRAINT "haul paid: 0 cents or more" CHECK (paid BETWEEN 0 AND 1000000000),
  tax INTEGER CONSTRAINT "haul tax: 0 cents or more" CHECK (tax BETWEEN 0 AND 1000000000),
  freight INTEGER NOT NULL CONSTRAINT "haul freight: 0 cents or more" CHECK (freight BETWEEN 0 AND 1000000000),
  split TEXT NOT NULL,
  flawed_carry TEXT NOT NULL,
  purse TEXT NOT NULL,
  freight_purse TEXT NOT NULL,
  miles_hundredths INTEGER NOT NULL DEFAULT 0
    CONSTRAINT "haul miles: 0 or more" CHECK (miles_hundredths >= 0),
  note TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE find (
  id INTEGER PRIMARY KEY,
  haul INTEGER NOT NULL REFERENCES haul (id),
  form TEXT NOT NULL CONSTRAINT "find form: must not be empty" CHECK (trim(form) <> ''),
  description TEXT NOT NULL DEFAULT '',
  shelf TEXT NOT NULL DEFAULT '',
  sound INTEGER NOT NULL CONSTRAINT "find sound: 0 or more pieces" CHECK (sound >= 0),
  flawed INTEGER NOT NULL CONSTRAINT "find flawed: 0 or more pieces" CHECK (flawed >= 0),
  value INTEGER NOT NULL CONSTRAINT "find value: 0 cents or more" CHECK (value >= 0),
  basis INTEGER NOT NULL CONSTRAINT "find basis: 0 cents or more" CHECK (basis >= 0),
  CONSTRAINT "find pieces: 1 to 100000" CHECK (sound + flawed BETWEEN 1 AND 100000)
) STRICT;
CREATE INDEX find_of_haul ON find (haul);

-- One row a piece, so that no piece can be promised, sold or broken twice.
CREATE TABLE piece (
  find INTEGER NOT NULL REFERENCES find (id),
  number INTEGER NOT NULL CHECK (number >= 1),
  flawed INTEGER NOT NULL CHECK (flawed IN (0, 1)),
  fate TEXT NOT NULL DEFAULT 'on hand' CHECK (
    fate IN ('on hand', 'sold', 'broken or lost', 'given away', 'taken for oneself')),
  sold_with INTEGER REFERENCES buyer_order (id),
  lot INTEGER REFERENCES listing (id),
  reserved_for INTEGER REFERENCES order_line (id),
  moved INTEGER NOT NULL DEFAULT 0 CHECK (moved IN (0, 1)),
  PRIMARY KEY (find, number),
  CONSTRAINT "piece: sold with an order, or not sold" CHECK ((fate = 'sold') = (sold_with IS NOT NULL)),
  CONSTRAINT "piece: only one on hand can be reserved" CHECK (reserved_for IS NULL OR fate = 'on hand')
) STRICT, WITHOUT ROWID;
CREATE INDEX piece_reserved ON piece (reserved_for) WHERE reserved_for IS NOT NULL;
CREATE INDEX piece_sold ON piece (sold_with) WHERE sold_with IS NOT NULL;
CREATE TRIGGER piece_promised BEFORE UPDATE OF fate ON piece
WHEN OLD.reserved_for IS NOT NULL AND NEW.fate NOT IN ('on hand', 'sold')
BEGIN SELECT RAISE (ABORT, 'the piece is reserved for an order; swap it there first'); END;
CREATE TRIGGER piece_moved_stays BEFORE UPDATE OF moved ON piece WHEN OLD.moved = 1 AND NEW.moved = 0
BEGIN SELECT RAISE (ABORT, 'a piece that has left the shelf once stays so marked'); END;
CREATE TRIGGER piece_moved_is_kept BEFORE DELETE ON piece WHEN OLD.moved = 1 OR OLD.reserved_for IS NOT NULL
BEGIN SELECT RAISE (ABORT, 'a piece that is reserved or has left the shelf is kept'); END;

-- The basis stands once a piece of the haul has left the shelf.
CREATE TRIGGER haul_basis_frozen BEFORE UPDATE OF date, paid, tax, freight, split, flawed_carry ON haul
WHEN EXISTS (SELECT 1 FROM piece JOIN find ON find.id = piece.find
             WHERE find.haul = OLD.id AND piece.moved = 1)
BEGIN SELECT RAISE (ABORT, 'the basis is frozen since a piece of the haul has left the shelf'); END;
CREATE TRIGGER find_basis_frozen BEFORE UPDATE OF haul, sound, flawed, value, basis ON find
WHEN EXISTS (SELECT 1 FROM piece JOIN find AS other ON other.id = piece.find
             WHERE other.haul = OLD.haul AND piece.moved = 1)
BEGIN SELECT RAISE (ABORT, 'the basis is frozen since a piece of the haul has left the shelf'); END;

CREATE TABLE measurement (
  id INTEGER PRIMARY KEY,
  find INTEGER NOT NULL REFERENCES find (id),
  piece INTEGER CHECK (piece >= 1),
  name TEXT NOT NULL CONSTRAINT "measurement name: must not be empty" CHECK (trim(name) <> ''),
  micrometres INTEGER CONSTRAINT "measurement length: above 0, at most 10 m"
    CHECK (micrometres BETWEEN 1 AND 10000000),
  milligrams INTEGER CONSTRAINT "measurement mass: above 0, at most 1 t"
    CHECK (milligrams BETWEEN 1 AND 1000000000),
  estimated INTEGER NOT NULL DEFAULT 0 CHECK (estimated IN (0, 1)),
  CONSTRAINT "measurement: a length or a mass, and not both"
    CHECK ((micrometres IS NULL) <> (milligrams IS NULL))
) STRICT;
CREATE UNIQUE INDEX measurement_once ON measurement (find, ifnull(piece, 0), name);

CREATE TABLE flaw (
  id INTEGER PRIMARY KEY,
  find INTEGER NOT NULL REFERENCES find (id),
  piece INTEGER CHECK (piece >= 1),
  kind TEXT NOT NULL CONSTRAINT "flaw kind: must not be empty" CHECK (trim(kind) <> ''),
  position TEXT NOT NULL DEFAULT '',
  micrometres INTEGER CONSTRAINT "flaw size: above 0, at most 10 m" CHECK (micrometres BETWEEN 1 AND 10000000)
) STRICT;

CREATE TABLE comp (
  id INTEGER PRIMARY KEY,
  find INTEGER NOT NULL REFERENCES find (id),
  typed TEXT NOT NULL CONSTRAINT "comp: must not be empty" CHECK (trim(typed) <> ''),
  date TEXT NOT NULL CONSTRAINT "comp date: a day such as 2026-03-07" CHECK (date IS date(date))
) STRICT;

CREATE TABLE split (
  id INTEGER PRIMARY KEY,
  find INTEGER NOT NULL REFERENCES find (id),
  date TEXT NOT NULL CONSTRAINT "split date: a day such as 2026-03-07" CHECK (date IS date(date)),
  lots TEXT NOT NULL CONSTRAINT "split lots: a list of lot sizes"
    CHECK (json_valid(lots) AND json_type(lots) = 'array'),
  spare INTEGER NOT NULL DEFAULT 0 CONSTRAINT "split spare: 0 or more pieces" CHECK (spare >= 0),
  note TEXT NOT NULL DEFAULT ''
) STRICT;

-- Receipts, photos and evidence: the relative name of a file and what its bytes hash to.
CREATE TABLE attachment (
  id INTEGER PRIMARY KEY,
  record TEXT NOT NULL,
  number INTEGER NOT NULL,
  role TEXT NOT NULL CONSTRAINT "attachment role: receipt, photo or evidence"
    CHECK (role IN ('receipt', 'photo', 'evidence')),
  name TEXT NOT NULL CONSTRAINT "attachment name: relative, without .. and backslash" CHECK (
    name <> '' AND name NOT GLOB '/*' AND name NOT GLOB '*\*' AND name NOT GLOB '[A-Za-z]:*'
    AND '/' || name || '/' NOT GLOB '*/../*'),
  sha256 TEXT NOT NULL CONSTRAINT "attachment sha256: 64 digits 0-9 a-f"
    CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*')
) STRICT;

CREATE TABLE listing (
  id INTEGER PRIMARY KEY,
  venue INTEGER REFERENCES venue (id),
  title TEXT NOT NULL CONSTRAINT "listing title: must not be empty" CHECK (trim(title) <> ''),
  lots INTEGER NOT NULL CONSTRAINT "listing lots: 0 or more" CHECK (lots >= 0),
  price INTEGER NOT NULL CONSTRAINT "listing price: 0 cents or more" CHECK (price BETWEEN 0 AND 1000000000),
  floor INTEGER CONSTRAINT "listing floor: from 0 cents to the price" CHECK (floor BETWEEN 0 AND price),
  listed_on TEXT NOT NULL CONSTRAINT "listing day: a day such as 2026-03-07" CHECK (listed_on IS date(listed_on)),
  ended INTEGER NOT NULL DEFAULT 0 CHECK (ended IN (0, 1)),
  card TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(card)),
  reserved INTEGER NOT NULL DEFAULT 0 CONSTRAINT "listing reserved lots: never below 0" CHECK (reserved >= 0),
  sold INTEGER NOT NULL DEFAULT 0 CONSTRAINT "listing sold lots: never below 0" CHECK (sold >= 0),
  CONSTRAINT "listing lots: reserved and sold lots are never more than were listed" CHECK (reserved + sold <= lots)
) STRICT;

CREATE TABLE listing_part (
  listing INTEGER NOT NULL REFERENCES listing (id),
  find INTEGER NOT NULL REFERENCES find (id),
  pieces INTEGER NOT NULL CONSTRAINT "pieces in a lot: 1 to 100000" CHECK (pieces BETWEEN 1 AND 100000),
  which TEXT NOT NULL CHECK (which IN ('sound', 'flawed', 'any')),
  PRIMARY KEY (listing, find)
) STRICT, WITHOUT ROWID;

CREATE TABLE buyer_order (
  id INTEGER PRIMARY KEY,
  venue INTEGER REFERENCES venue (id),
  ordered_on TEXT NOT NULL CONSTRAINT "order day: a day such as 2026-03-07" CHECK (ordered_on IS date(ordered_on)),
  promise_by TEXT CONSTRAINT "promise: a day such as 2026-03-07" CHECK (promise_by IS NULL OR promise_by IS date(promise_by)),
  destination TEXT NOT NULL DEFAULT '',
  shipping INTEGER NOT NULL CONSTRAINT "order shipping: 0 cents or more" CHECK (shipping BETWEEN 0 AND 1000000000),
  tax TEXT NOT NULL CHECK (json_valid(tax)),
  state TEXT NOT NULL DEFAULT 'open' CHECK (state IN ('open', 'sent', 'cancelled')),
  paid_on TEXT CHECK (paid_on IS NULL OR paid_on IS date(paid_on)),
  sent_on TEXT CHECK (sent_on IS NULL OR sent_on IS date(sent_on)),
  note TEXT NOT NULL DEFAULT '',
  CONSTRAINT "order: sent exactly when it has a day of sending" CHECK ((state = 'sent') = (sent_on IS NOT NULL))
) STRICT;
CREATE TRIGGER order_state_stays BEFORE UPDATE OF state ON buyer_order WHEN OLD.state <> 'open'
BEGIN SELECT RAISE (ABORT, 'an order that was sent or cancelled stays so'); END;

CREATE TABLE order_line (
  id INTEGER PRIMARY KEY,
  order_id INTEGER NOT NULL REFERENCES buyer_order (id),
  listing INTEGER NOT NULL REFERENCES listing (id),
  lots INTEGER NOT NULL CONSTRAINT "order lots: 1 or more" CHECK (lots >= 1),
  item INTEGER NOT NULL CONSTRAINT "order price: 0 cents or more" CHECK (item BETWEEN 0 AND 1000000000),
  UNIQUE (order_id, listing)
) STRICT;
CREATE INDEX order_line_listing ON order_line (listing);

CREATE TABLE supply (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CONSTRAINT "supply name: must not be empty" CHECK (trim(name) <> ''),
  kind TEXT NOT NULL CONSTRAINT "supply kind: must not be empty" CHECK (trim(kind) <> ''),
  unit TEXT NOT NULL CONSTRAINT "supply unit: must not be empty" CHECK (trim(unit) <> ''),
  detail TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(detail)),
  on_hand INTEGER NOT NULL DEFAULT 0 CONSTRAINT "supply on hand: never below 0" CHECK (on_hand >= 0),
  reserved INTEGER NOT NULL DEFAULT 0 CONSTRAINT "supply reserved: never below 0" CHECK (reserved >= 0),
  CONSTRAINT "supply: never more reserved than on hand" CHECK (reserved <= on_hand)
) STRICT;

CREATE TABLE parcel (
  id INTEGER PRIMARY KEY,
  order_id INTEGER NOT NULL REFERENCES buyer_order (id),
  form TEXT NOT NULL DEFAULT '',
  recipe TEXT NOT NULL DEFAULT '',
  plan TEXT NOT NULL DEFAULT '{}' CHECK (json_valid(plan)),
  mass INTEGER CONSTRAINT "predicted weight: above 0, at most 1 t" CHECK (mass BETWEEN 1 AND 1000000000),
  length INTEGER CONSTRAINT "predicted length: above 0, at most 10 m" CHECK (length BETWEEN 1 AND 10000000),
  width INTEGER CONSTRAINT "predicted width: above 0, at most 10 m" CHECK (width BETWEEN 1 AND 10000000),
  height INTEGER CONSTRAINT "predicted height: above 0, at most 10 m" CHECK (height BETWEEN 1 AND 10000000),
  minutes INTEGER CONSTRAINT "predicted minutes: 0 to 10000" CHECK (minutes BETWEEN 0 AND 10000),
  postage INTEGER CONSTRAINT "predicted postage: 0 cents or more" CHECK (postage BETWEEN 0 AND 1000000000),
  actual_mass INTEGER CONSTRAINT "weight: above 0, at most 1 t" CHECK (actual_mass BETWEEN 1 AND 1000000000),
  actual_length INTEGER CONSTRAINT "length: above 0, at most 10 m" CHECK (actual_length BETWEEN 1 AND 10000000),
  actual_width INTEGER CONSTRAINT "width: above 0, at most 10 m" CHECK (actual_width BETWEEN 1 AND 10000000),
  actual_height INTEGER CONSTRAINT "height: above 0, at most 10 m" CHECK (actual_height BETWEEN 1 AND 10000000),
  actual_minutes INTEGER CONSTRAINT "minutes: 0 to 10000" CHECK (actual_minutes BETWEEN 0 AND 10000),
  actual_postage INTEGER CONSTRAINT "postage: 0 cents or more" CHECK (actual_postage BETWEEN 0 AND 1000000000),
  tracking TEXT NOT NULL DEFAULT '',
  sent_on TEXT CHECK (sent_on IS NULL OR sent_on IS date(sent_on))
) STRICT;
CREATE INDEX parcel_of_order ON parcel (order_id);

CREATE TABLE supply_reservation (
  parcel INTEGER NOT NULL REFERENCES parcel (id),
  supply INTEGER NOT NULL REFERENCES supply (id),
  micros INTEGER NOT NULL CONSTRAINT "supplies of a plan: above 0" CHECK (micros > 0),
  instead_of INTEGER REFERENCES supply (id),
  PRIMARY KEY (parcel, supply)
) STRICT, WITHOUT ROWID;

CREATE TABLE supply_move (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
  supply INTEGER NOT NULL REFERENCES supply (id),
  date TEXT NOT NULL CHECK (date IS date(date)),
  micros INTEGER NOT NULL,
  parcel INTEGER REFERENCES parcel (id),
  instead_of INTEGER REFERENCES supply (id)
) STRICT;
CREATE INDEX supply_move_by_day ON supply_move (supply, date);

-- Pieces that came back, broke on the way, or were swapped before sending.
CREATE TABLE coming_back (
  id INTEGER PRIMARY KEY,
  order_id INTEGER NOT NULL REFERENCES buyer_order (id),
  date TEXT NOT NULL CONSTRAINT "day: a day such as 2026-03-07" CHECK (date IS date(date)),
  what TEXT NOT NULL CHECK (what IN ('returned', 'broken')),
  pieces TEXT NOT NULL CHECK (json_valid(pieces)),
  note TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE piece_swap (
  id INTEGER PRIMARY KEY,
  order_line INTEGER NOT NULL REFERENCES order_line (id),
  out_find INTEGER NOT NULL,
  out_number INTEGER NOT NULL,
  in_find INTEGER NOT NULL,
  in_number INTEGER NOT NULL,
  why TEXT NOT NULL DEFAULT '',
  FOREIGN KEY (out_find, out_number) REFERENCES piece (find, number),
  FOREIGN KEY (in_find, in_number) REFERENCES piece (find, number)
) STRICT;

CREATE TABLE claim (
  id INTEGER PRIMARY KEY,
  order_id INTEGER NOT NULL REFERENCES buyer_order (id),
  opened_on TEXT NOT NULL CONSTRAINT "claim day: a day such as 2026-03-07" CHECK (opened_on IS date(opened_on)),
  deadline TEXT CONSTRAINT "claim deadline: a day such as 2026-03-07" CHECK (deadline IS NULL OR deadline IS date(deadline)),
  asked INTEGER NOT NULL CONSTRAINT "claim amount: 0 cents or more" CHECK (asked BETWEEN 0 AND 1000000000),
  state TEXT NOT NULL CONSTRAINT "claim state: open, paid or refused" CHECK (state IN ('open', 'paid', 'refused')),
  reference TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE tuning (
  id INTEGER PRIMARY KEY,
  form TEXT NOT NULL,
  recipe TEXT NOT NULL DEFAULT '',
  what TEXT NOT NULL CONSTRAINT "tuning: say what was observed" CHECK (trim(what) <> ''),
  unit TEXT NOT NULL,
  predicted REAL NOT NULL,
  actual REAL NOT NULL,
  date TEXT NOT NULL CONSTRAINT "tuning day: a day such as 2026-03-07" CHECK (date IS date(date))
) STRICT;

-- The books. Lines come before their entry, and the entry is taken only when they balance.
CREATE TABLE entry (
  id INTEGER PRIMARY KEY,
  event INTEGER NOT NULL REFERENCES event (id) DEFERRABLE INITIALLY DEFERRED,
  date TEXT NOT NULL CONSTRAINT "entry date: a day such as 2026-03-07" CHECK (date IS date(date)),
  kind TEXT NOT NULL,
  order_id INTEGER REFERENCES buyer_order (id),
  haul INTEGER REFERENCES haul (id),
  corrects INTEGER UNIQUE REFERENCES entry (id),
  note TEXT NOT NULL DEFAULT '',
  remark TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE entry_line (
  entry INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
  number INTEGER NOT NULL,
  account TEXT NOT NULL,
  side TEXT NOT NULL CHECK (side IN ('debit', 'credit')),
  cents INTEGER NOT NULL CHECK (cents BETWEEN 1 AND 1000000000),
  lot INTEGER REFERENCES listing (id),
  find INTEGER REFERENCES find (id),
  PRIMARY KEY (entry, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE entry_move (
  entry INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
  number INTEGER NOT NULL,
  find INTEGER NOT NULL REFERENCES find (id),
  lot INTEGER REFERENCES listing (id),
  pieces TEXT NOT NULL CHECK (json_valid(pieces)),
  from_fate TEXT NOT NULL,
  to_fate TEXT NOT NULL,
  PRIMARY KEY (entry, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE entry_memo (
  entry INTEGER NOT NULL REFERENCES entry (id) DEFERRABLE INITIALLY DEFERRED,
  number INTEGER NOT NULL,
  memo TEXT NOT NULL CHECK (json_valid(memo)),
  PRIMARY KEY (entry, number)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_balances BEFORE INSERT ON entry
WHEN (SELECT ifnull(sum(CASE side WHEN 'debit' THEN cents ELSE -cents END), 0)
      FROM entry_line WHERE entry = NEW.id) <> 0
BEGIN SELECT RAISE (ABORT, 'debits and credits of an entry must be equal'); END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
BEGIN SELECT RAISE (ABORT, 'an entry is never changed; take it back'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
BEGIN SELECT RAISE (ABORT, 'an entry is never deleted; take it back'); END;
CREATE TRIGGER entry_line_in_time BEFORE INSERT ON entry_line
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.entry)
BEGIN SELECT RAISE (ABORT, 'an entry that was made takes no more lines'); END;
CREATE TRIGGER entry_line_stays BEFORE UPDATE ON entry_line
BEGIN SELECT RAISE (ABORT, 'an entry is never changed; take it back'); END;
CREATE TRIGGER entry_line_is_kept BEFORE DELETE ON entry_line
BEGIN SELECT RAISE (ABORT, 'an entry is never deleted; take it back'); END;
