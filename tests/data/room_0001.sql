-- A room of schema 0001 with entries of many kinds, as SQL text.
PRAGMA application_id=1768846443;
BEGIN TRANSACTION;
CREATE TABLE alembic_version (version_num TEXT NOT NULL PRIMARY KEY) STRICT;
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE effective (
	entry INTEGER NOT NULL, 
	newest INTEGER NOT NULL, 
	at TEXT NOT NULL, 
	void INTEGER NOT NULL, 
	CONSTRAINT pk_effective PRIMARY KEY (entry), 
	CONSTRAINT ck_effective_void CHECK (void IN (0, 1)), 
	CONSTRAINT fk_effective_entry_journal FOREIGN KEY(entry) REFERENCES journal (sequence) ON DELETE RESTRICT, 
	CONSTRAINT fk_effective_newest_journal FOREIGN KEY(newest) REFERENCES journal (sequence) ON DELETE RESTRICT
)
 STRICT

;
INSERT INTO "effective" VALUES(1,1,'2026-11-25T09:00:00Z',0);
INSERT INTO "effective" VALUES(2,2,'2026-11-25T09:00:00Z',0);
INSERT INTO "effective" VALUES(3,3,'2026-11-25T09:01:00Z',0);
INSERT INTO "effective" VALUES(4,4,'2026-11-25T09:02:00Z',0);
INSERT INTO "effective" VALUES(5,5,'2026-11-20T10:00:00Z',0);
INSERT INTO "effective" VALUES(6,6,'2026-11-25T09:04:00Z',0);
INSERT INTO "effective" VALUES(7,7,'2026-11-25T09:05:00Z',0);
INSERT INTO "effective" VALUES(8,9,'2026-11-25T09:06:00Z',0);
INSERT INTO "effective" VALUES(10,10,'2026-11-25T09:08:00Z',0);
INSERT INTO "effective" VALUES(11,11,'2026-11-24T07:00:00Z',0);
INSERT INTO "effective" VALUES(12,14,'2026-11-25T09:10:00Z',0);
INSERT INTO "effective" VALUES(15,15,'2026-11-25T09:13:00Z',0);
INSERT INTO "effective" VALUES(16,16,'2026-11-25T09:14:00Z',1);
CREATE TABLE journal (
	sequence INTEGER NOT NULL, 
	at TEXT NOT NULL, 
	time_zone TEXT NOT NULL, 
	entered TEXT NOT NULL, 
	keeper TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	version INTEGER NOT NULL, 
	content TEXT NOT NULL, 
	corrects INTEGER, 
	why TEXT, 
	"key" TEXT, 
	previous TEXT NOT NULL, 
	hash TEXT NOT NULL, 
	CONSTRAINT pk_journal PRIMARY KEY (sequence), 
	CONSTRAINT ck_journal_sequence CHECK (sequence > 0), 
	CONSTRAINT ck_journal_version CHECK (version > 0), 
	CONSTRAINT ck_journal_hash CHECK (length(hash) = 64), 
	CONSTRAINT ck_journal_previous CHECK (length(previous) = 64), 
	CONSTRAINT fk_journal_corrects_journal FOREIGN KEY(corrects) REFERENCES journal (sequence) ON DELETE RESTRICT, 
	CONSTRAINT uq_journal_key UNIQUE ("key"), 
	CONSTRAINT uq_journal_hash UNIQUE (hash)
)
 STRICT

;
INSERT INTO "journal" VALUES(1,'2026-11-25T09:00:00Z','Europe/Lisbon','2026-11-25T09:00:00Z','Ana','room',1,'{"time_zone":"Europe/Lisbon","units":"metric"}',NULL,NULL,NULL,'0000000000000000000000000000000000000000000000000000000000000000','868bbb98bbc6828ad01856b1501558a0b17a2196e3bab7f334f8611254cee48e');
INSERT INTO "journal" VALUES(2,'2026-11-25T09:00:00Z','Europe/Lisbon','2026-11-25T09:00:00Z','Ana','keeper',1,'{"name":"Ana"}',NULL,NULL,NULL,'868bbb98bbc6828ad01856b1501558a0b17a2196e3bab7f334f8611254cee48e','0996ea8ad9bf1fe5a8d66d4c612a8b156b5ece6d3cef5ff52569986ef8ac5363');
INSERT INTO "journal" VALUES(3,'2026-11-25T09:01:00Z','Europe/Lisbon','2026-11-25T09:01:00Z','Ana','settings',1,'{"quiet":"23-06","tape":{"text":"1 cm","value":1.0}}',NULL,NULL,NULL,'0996ea8ad9bf1fe5a8d66d4c612a8b156b5ece6d3cef5ff52569986ef8ac5363','8fe9137d6e695e45ade98854f40ced3c2dea9c90073173a5db515f0ae384bcaf');
INSERT INTO "journal" VALUES(4,'2026-11-25T09:02:00Z','Europe/Lisbon','2026-11-25T09:02:00Z','Ana','keeper',1,'{"name":"Zo\u00eb"}',NULL,NULL,NULL,'8fe9137d6e695e45ade98854f40ced3c2dea9c90073173a5db515f0ae384bcaf','83458f3cf66f4ccb27b9d1fa0b5427edeeb544c684968e26639d17846a351963');
INSERT INTO "journal" VALUES(5,'2026-11-20T10:00:00Z','Europe/Lisbon','2026-11-25T09:03:00Z','Ana','vessel',1,'{"depth":"40 cm","inside":{},"length":"100 cm","lists":{},"name":"Tub","note":"beside the door, s\u00f3 \u00e1gua","shape":"box","sizes":{"depth":{"half":0.5,"value":40.0},"length":{"half":0.5,"value":100.0},"width":{"half":0.5,"value":50.0}},"volume_l":200.0,"why":"kept on paper until now","width":"50 cm"}',NULL,'kept on paper until now',NULL,'83458f3cf66f4ccb27b9d1fa0b5427edeeb544c684968e26639d17846a351963','da72c965e66dba934435f0b610cc164cfcb2856faec745fe8d1e27a1c9143082');
INSERT INTO "journal" VALUES(6,'2026-11-25T09:04:00Z','Europe/Lisbon','2026-11-25T09:04:00Z','Ana','vessel',1,'{"depth":"50 cm","diameter":"150 cm","inside":{},"lists":{},"name":"Pool","shape":"round","sizes":{"depth":{"half":0.5,"value":50.0},"diameter":{"half":0.5,"value":150.0}},"system":"Yard","volume_l":883.5729338221296}',NULL,NULL,NULL,'da72c965e66dba934435f0b610cc164cfcb2856faec745fe8d1e27a1c9143082','96fc4f794d7a2ad53e55c8696f1ea71c17bbc6ec45c4a04b5ba607551fe7e15e');
INSERT INTO "journal" VALUES(7,'2026-11-25T09:05:00Z','Europe/Lisbon','2026-11-25T09:05:00Z','Ana','tool',1,'{"name":"Scale","step":{"band":false,"basis":null,"half":null,"high":0.1,"low":0.1,"text":"0.1 g","unit":"g","value":0.1}}',NULL,NULL,NULL,'96fc4f794d7a2ad53e55c8696f1ea71c17bbc6ec45c4a04b5ba607551fe7e15e','f66779f6d58c68e0121d7caaf1ba76ba4b17843834dc244e8a204313e1b8fa30');
INSERT INTO "journal" VALUES(8,'2026-11-25T09:06:00Z','Europe/Lisbon','2026-11-25T09:06:00Z','Ana','reading',1,'{"ph":{"band":false,"basis":null,"half":null,"high":7.4,"low":7.4,"text":"7.4","unit":"","value":7.4},"read":{"ph":{"band":false,"basis":null,"half":null,"high":7.4,"low":7.4,"text":"7.4","unit":"","value":7.4},"temp":{"band":false,"basis":null,"half":null,"high":20.0,"low":20.0,"text":"20 C","unit":"C","value":20.0}},"refs":{"subject":5},"subject":"Tub","temp":{"band":false,"basis":null,"half":null,"high":20.0,"low":20.0,"text":"20 C","unit":"C","value":20.0},"whole_system":false}',NULL,NULL,NULL,'f66779f6d58c68e0121d7caaf1ba76ba4b17843834dc244e8a204313e1b8fa30','04613c17ed5b44a4e8d52a14db1207c0d58b2824caef1ca6e3986c4b0ca45ee5');
INSERT INTO "journal" VALUES(9,'2026-11-25T09:06:00Z','Europe/Lisbon','2026-11-25T09:07:00Z','Zoë','reading',1,'{"ph":{"band":false,"basis":null,"half":null,"high":7.6,"low":7.6,"text":"7.6","unit":"","value":7.6},"read":{"ph":{"band":false,"basis":null,"half":null,"high":7.6,"low":7.6,"text":"7.6","unit":"","value":7.6},"temp":{"band":false,"basis":null,"half":null,"high":20.0,"low":20.0,"text":"20 C","unit":"C","value":20.0}},"refs":{"subject":5},"subject":"Tub","temp":{"band":false,"basis":null,"half":null,"high":20.0,"low":20.0,"text":"20 C","unit":"C","value":20.0},"whole_system":false}',8,'misread',NULL,'04613c17ed5b44a4e8d52a14db1207c0d58b2824caef1ca6e3986c4b0ca45ee5','b2707b4be942fffe2f403d3284b68934313dc26d1f7215809cebb4c4e052731c');
INSERT INTO "journal" VALUES(10,'2026-11-25T09:08:00Z','Europe/Lisbon','2026-11-25T09:08:00Z','Ana','group',1,'{"count":5,"into":"Tub","name":"Nov ryukins","refs":{"into":5},"source":"","stage":"adult","variety":"ryukin"}',NULL,NULL,'phone-1','b2707b4be942fffe2f403d3284b68934313dc26d1f7215809cebb4c4e052731c','07eea5bafc2e2c4683e3a30ed1e75f68069990e40809b0f4501df6fd1a742a1a');
INSERT INTO "journal" VALUES(11,'2026-11-24T07:00:00Z','Europe/Lisbon','2026-11-25T09:09:00Z','Ana','change',1,'{"percent":{"band":false,"basis":null,"half":null,"high":30.0,"low":30.0,"text":"30","unit":"%","value":30.0},"refs":{"subject":5},"share":0.3,"subject":"Tub","whole_system":false,"why":"was away"}',NULL,'was away',NULL,'07eea5bafc2e2c4683e3a30ed1e75f68069990e40809b0f4501df6fd1a742a1a','cab2174b15462f07489638bb63d881628f8448a5e6c236794a45ca4aeab87f4a');
INSERT INTO "journal" VALUES(12,'2026-11-25T09:10:00Z','Europe/Lisbon','2026-11-25T09:10:00Z','Ana','look',1,'{"appetite":"all","refs":{"subject":10,"there":5},"subject":"Nov ryukins"}',NULL,NULL,NULL,'cab2174b15462f07489638bb63d881628f8448a5e6c236794a45ca4aeab87f4a','6c2c41dc7d56207b451ec7b771c8424fc6b4ec7c5efd7c45f8a8db6c079830be');
INSERT INTO "journal" VALUES(13,'2026-11-25T09:10:00Z','Europe/Lisbon','2026-11-25T09:11:00Z','Ana','void',1,'{"of":12}',12,'another group',NULL,'6c2c41dc7d56207b451ec7b771c8424fc6b4ec7c5efd7c45f8a8db6c079830be','db0d70495d53285428d12bd12aa77e1d4a2a9db36491b46ce1a285497bf86e88');
INSERT INTO "journal" VALUES(14,'2026-11-25T09:10:00Z','Europe/Lisbon','2026-11-25T09:12:00Z','Ana','look',1,'{"appetite":"all","refs":{"subject":10,"there":5},"subject":"Nov ryukins"}',12,'it was this one after all',NULL,'db0d70495d53285428d12bd12aa77e1d4a2a9db36491b46ce1a285497bf86e88','b3acbe442f3552d8594fc5dac02eedb39df7bcff7d02fc43e79511cd7cb1d604');
INSERT INTO "journal" VALUES(15,'2026-11-25T09:13:00Z','Europe/Lisbon','2026-11-25T09:13:00Z','Ana','given',1,'{"added":{"high":200.0,"low":200.0,"value":200.0},"already":0.0,"amount":{"band":false,"basis":null,"half":null,"high":200.0,"low":200.0,"text":"200 g","unit":"g","value":200.0},"broke":[],"conditions":{"ph":{"at":"2026-11-25T09:06:00+00:00","evidence":"measured","value":7.6},"temp":{"at":"2026-11-25T09:06:00+00:00","evidence":"measured","value":20.0}},"course":"support","fish":[{"count":5,"name":"Nov ryukins"}],"protocol":{"path":"protocols/treatments/salt.yaml","sha256":"32996ddaebd63a523f63d4cf34c39be21eb70b5e743cf3d8c680f54a7227f420","version":"1"},"refs":{"system":5},"route":"prolonged","said":[],"strength_used":"100 % w/w","system":"Tub","target_unit":"g/L","target_value":1.0,"treatment":"salt","water":{"volume_l":200.0,"volume_l_high":203.354101966,"volume_l_low":196.645898034},"why":"before this was written"}',NULL,'before this was written',NULL,'b3acbe442f3552d8594fc5dac02eedb39df7bcff7d02fc43e79511cd7cb1d604','5e9de282bf8f260efae0859f832b9c9e46655823d2bf21283cbd27db70da61df');
INSERT INTO "journal" VALUES(16,'2026-11-25T09:14:00Z','Europe/Lisbon','2026-11-25T09:14:00Z','Ana','reading',1,'{"read":{"temp":{"band":false,"basis":null,"half":null,"high":12.0,"low":12.0,"text":"12 C","unit":"C","value":12.0}},"refs":{"subject":6},"subject":"Pool","temp":{"band":false,"basis":null,"half":null,"high":12.0,"low":12.0,"text":"12 C","unit":"C","value":12.0},"whole_system":false}',NULL,NULL,NULL,'5e9de282bf8f260efae0859f832b9c9e46655823d2bf21283cbd27db70da61df','70bd507d757a01b8528b831be47ae072029ca3d6718b3b087e642529e1d769f2');
INSERT INTO "journal" VALUES(17,'2026-11-25T09:14:00Z','Europe/Lisbon','2026-11-25T09:15:00Z','Ana','void',1,'{"of":16}',16,'wrong tub',NULL,'70bd507d757a01b8528b831be47ae072029ca3d6718b3b087e642529e1d769f2','59a8ff26f7400285d365d0744975ff410255b289d6d4e5065b54db223bc99af8');
CREATE TABLE mention (
	entry INTEGER NOT NULL, 
	thing INTEGER NOT NULL, 
	CONSTRAINT pk_mention PRIMARY KEY (entry, thing), 
	CONSTRAINT fk_mention_entry_journal FOREIGN KEY(entry) REFERENCES journal (sequence) ON DELETE RESTRICT, 
	CONSTRAINT fk_mention_thing_journal FOREIGN KEY(thing) REFERENCES journal (sequence) ON DELETE RESTRICT
)
 STRICT

;
INSERT INTO "mention" VALUES(1,1);
INSERT INTO "mention" VALUES(2,2);
INSERT INTO "mention" VALUES(3,3);
INSERT INTO "mention" VALUES(4,4);
INSERT INTO "mention" VALUES(5,5);
INSERT INTO "mention" VALUES(6,6);
INSERT INTO "mention" VALUES(7,7);
INSERT INTO "mention" VALUES(8,5);
INSERT INTO "mention" VALUES(8,8);
INSERT INTO "mention" VALUES(10,5);
INSERT INTO "mention" VALUES(10,10);
INSERT INTO "mention" VALUES(11,5);
INSERT INTO "mention" VALUES(11,11);
INSERT INTO "mention" VALUES(12,5);
INSERT INTO "mention" VALUES(12,10);
INSERT INTO "mention" VALUES(12,12);
INSERT INTO "mention" VALUES(15,5);
INSERT INTO "mention" VALUES(15,15);
INSERT INTO "mention" VALUES(16,6);
INSERT INTO "mention" VALUES(16,16);
CREATE INDEX ix_journal_corrects ON journal (corrects);
CREATE INDEX ix_journal_kind ON journal (kind);
CREATE INDEX ix_effective_at_entry ON effective (at, entry);
CREATE INDEX ix_mention_thing_entry ON mention (thing, entry);
CREATE TRIGGER journal_update BEFORE UPDATE ON journal BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END;
CREATE TRIGGER journal_delete BEFORE DELETE ON journal BEGIN SELECT RAISE(ABORT, 'the journal is never changed'); END;
COMMIT;
