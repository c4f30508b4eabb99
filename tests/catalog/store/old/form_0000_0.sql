BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0000');
CREATE TABLE parts (
	"key" VARCHAR(200) NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	name TEXT NOT NULL, 
	quantity VARCHAR(20) NOT NULL, 
	search TEXT NOT NULL, 
	ohms_low FLOAT, 
	ohms_high FLOAT, 
	rising BOOLEAN, 
	stations INTEGER, 
	revision INTEGER NOT NULL, 
	own BOOLEAN NOT NULL, 
	shipped_revision INTEGER, 
	edited_from INTEGER, 
	retired_by VARCHAR(20), 
	place INTEGER NOT NULL, 
	PRIMARY KEY ("key")
);
INSERT INTO "parts" VALUES('level-9-1','sender','Level, 10 Ω','level','level-9-1',NULL,NULL,NULL,NULL,2,1,1,1,NULL,0);
INSERT INTO "parts" VALUES('level-8-1','sender','Level, 8 Ω','level','level-8-1',NULL,NULL,NULL,NULL,1,0,1,NULL,'user',1);
INSERT INTO "parts" VALUES('level-mine','sender','Level, 7 Ω','level','level-mine',NULL,NULL,NULL,NULL,1,1,NULL,NULL,NULL,1000000);
INSERT INTO "parts" VALUES('gauge-level-9-1','gauge','Level gauge','level','gauge-level-9-1',NULL,NULL,NULL,NULL,1,0,1,NULL,NULL,1000000000);
CREATE TABLE revisions (
	"key" VARCHAR(200) NOT NULL, 
	number INTEGER NOT NULL, 
	document JSON NOT NULL, 
	content_hash VARCHAR(64) NOT NULL, 
	made_at VARCHAR(40) NOT NULL, 
	label TEXT NOT NULL, 
	origin VARCHAR(20) NOT NULL, 
	PRIMARY KEY ("key", number), 
	FOREIGN KEY("key") REFERENCES parts ("key")
);
INSERT INTO "revisions" VALUES('level-9-1',1,'{"key": "level-9-1", "name": "Level, 9 Ω", "quantity": "level", "law": {"kind": "table", "points": [{"at": "0 %", "gives": "9 Ω"}, {"at": "100 %", "gives": "1 Ω"}]}}','0000000000000000','2026-01-02T03:04:05+00:00','','shipped');
INSERT INTO "revisions" VALUES('level-9-1',2,'{"key": "level-9-1", "name": "Level, 10 Ω", "quantity": "level", "law": {"kind": "table", "points": [{"at": "0 %", "gives": "10 Ω"}, {"at": "100 %", "gives": "1 Ω"}]}}','0000000000000000','2026-01-02T03:04:05+00:00','','user');
INSERT INTO "revisions" VALUES('level-8-1',1,'{"key": "level-8-1", "name": "Level, 8 Ω", "quantity": "level", "law": {"kind": "table", "points": [{"at": "0 %", "gives": "8 Ω"}, {"at": "100 %", "gives": "1 Ω"}]}}','0000000000000000','2026-01-02T03:04:05+00:00','','shipped');
INSERT INTO "revisions" VALUES('level-mine',1,'{"key": "level-mine", "name": "Level, 7 Ω", "quantity": "level", "law": {"kind": "table", "points": [{"at": "0 %", "gives": "7 Ω"}, {"at": "100 %", "gives": "1 Ω"}]}}','0000000000000000','2026-01-02T03:04:05+00:00','','user');
INSERT INTO "revisions" VALUES('gauge-level-9-1',1,'{"key": "gauge-level-9-1", "name": "Level gauge", "quantity": "level", "movement": {"kind": "ratio"}, "low": "0 %", "high": "100 %", "scaled_for": {"key": "level-9-1", "name": "Level", "law": {"kind": "table", "points": [{"at": "0 %", "gives": "9 Ω"}, {"at": "100 %", "gives": "1 Ω"}]}}}','0000000000000000','2026-01-02T03:04:05+00:00','','shipped');
CREATE TABLE shipments (
	fingerprint VARCHAR(64) NOT NULL, 
	taken_at VARCHAR(40) NOT NULL, 
	PRIMARY KEY (fingerprint)
);
CREATE TABLE stamps (
	name VARCHAR(20) NOT NULL, 
	number INTEGER NOT NULL, 
	PRIMARY KEY (name)
);
INSERT INTO "stamps" VALUES('documents',0);
INSERT INTO "stamps" VALUES('index',0);
COMMIT;
