-- A notebook as version 3 of its tables has it, dumped as SQL: that of version 2 (version-2.sql), brought to version 3, one more
-- judged attempt of the made recordings (bell) with a note on it, two words from paper, and a choice that was taught.
-- Written by the program of 28 November 2026. Keep it as it is: later versions must read it.
PRAGMA foreign_keys = OFF;
PRAGMA user_version = 3;
BEGIN TRANSACTION;
CREATE TABLE attempt (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    session INTEGER NOT NULL REFERENCES session (n),
    at INTEGER NOT NULL,
    day INTEGER NOT NULL,
    item INTEGER NOT NULL REFERENCES item (n),
    before TEXT,
    speaking INTEGER NOT NULL,
    rules INTEGER NOT NULL REFERENCES rules (n),
    model TEXT NOT NULL,
    expected INTEGER NOT NULL,
    heard INTEGER,
    verdict INTEGER,
    sure REAL,
    recording BLOB,
    child INTEGER,
    ruling INTEGER,
    edits TEXT NOT NULL,
    undone INTEGER NOT NULL DEFAULT 0,
    changed INTEGER NOT NULL
);
INSERT INTO "attempt" VALUES(1,X'1602345A37DA920EC2D72DE94C2A8CA7',1,1,1795200060000,20261120,1,NULL,0,1,'soundbead 0.1.0',3,3,0,9.97600018978118896484e-01,X'7106C73C9E3AB43A5474C58B0A20F210B113565E6CB8638426925B76F1F5C09B',3,NULL,'{"child":3,"pointed":{"at":1,"right":true},"letters":["g","oa","t"]}',0,1795877377378);
INSERT INTO "attempt" VALUES(2,X'6F8006A70F9817B421A4E190B526C86F',1,1,1795200120000,20261120,2,NULL,0,1,'soundbead 0.1.0',3,3,3,9.77800011634826660156e-01,X'ADAE6F0AD3651886FEA3015638A76CE6929A0A964DE836820F999D21E6891FD5',4,3,'{"child":4,"rulings":[{"verdict":"changed","sounds":["W","IH","NG"],"by":"consultant","at":1795877377358}]}',0,1795877377358);
INSERT INTO "attempt" VALUES(3,X'7A64E3085E2C6CBF39E0B5096882D9A6',1,1,1795200180000,20261120,3,NULL,0,1,'soundbead 0.1.0',5,5,0,9.993000030517578125e-01,X'F8FEB068C846D06B2A8096D8A55DC684D526477A58BE043992146A7A702790CB',5,1,'{"child":5,"rulings":[{"verdict":"fewer","by":"parent","at":1795877377370}]}',0,1795877377370);
INSERT INTO "attempt" VALUES(4,X'13F043FB9C815BF633B88E201C64FB5F',1,1,1795200240000,20261120,4,'bark',0,1,'',3,NULL,NULL,NULL,NULL,3,NULL,'{"child":3}',0,1795200240000);
INSERT INTO "attempt" VALUES(5,X'4EDCA7BD6130639241F66994E07012D8',1,1,1795200300000,20261120,4,'bark',0,2,'',4,NULL,NULL,NULL,NULL,4,NULL,'{"child":4}',0,1795200300000);
INSERT INTO "attempt" VALUES(6,X'99C99CA8BA88880874F6C178062CEFD3',2,2,1795200540000,20261120,5,NULL,0,2,'',3,NULL,NULL,NULL,NULL,2,NULL,'{"child":2}',0,1795200540000);
INSERT INTO "attempt" VALUES(7,X'1F1A377FED8CD72F2403283FC53AB406',1,3,1795890828719,20261128,6,NULL,0,1,'f4fcab2a558d',3,3,0,9.97142732143402099609e-01,X'583062FEC773017ACE73D3ED9AD30C72682486822902DC105BE9E0BC34044931',3,NULL,'{"child":3}',0,1795890828719);
INSERT INTO "attempt" VALUES(8,X'AF49B965C3CD13E5E514961562EBA447',1,4,1795890829248,20261128,7,NULL,0,1,'f4fcab2a558d',4,1,4,NULL,X'A85A35BAF86E86995C0FEF2DBF61809931B786CF3A6370C32BD624C74B02E8EA',3,NULL,'{"child":3}',0,1795890829248);
INSERT INTO "attempt" VALUES(9,X'4452421735FE7E3B95BA8716D83D017C',1,5,1795903534138,20261128,8,NULL,0,1,'15b5201ae3cd',3,3,3,9.23520863056182861328e-01,X'5D0F911CF3105487EE76F9E845057A30841EC7A6FC736C555C45A1AA593732D8',3,NULL,'{"child":3}',0,1795903534138);
CREATE TABLE draft (
    learner INTEGER REFERENCES learner (n),
    key TEXT NOT NULL,
    text TEXT NOT NULL,
    changed INTEGER NOT NULL
);
INSERT INTO "draft" VALUES(1,'note','The tongue',1795877377528);
CREATE TABLE enrolment (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    at INTEGER NOT NULL,
    model TEXT NOT NULL,
    numbers TEXT NOT NULL
);
INSERT INTO "enrolment" VALUES(1,X'A628B8BD150A874583DE5B60D2ECE71A',1,1795877377513,'soundbead 0.1.0','{"scale":1.1}');
CREATE TABLE gone (
    id BLOB PRIMARY KEY,
    learner INTEGER NOT NULL REFERENCES learner (n),
    changed INTEGER NOT NULL
) WITHOUT ROWID;
INSERT INTO "gone" VALUES(X'26063DBE5E3B6B6E62DBB54F6BE8EE65',1,1795877377506);
CREATE TABLE history (
    n INTEGER PRIMARY KEY,
    learner INTEGER NOT NULL REFERENCES learner (n),
    of BLOB NOT NULL,
    changed INTEGER NOT NULL,
    body TEXT NOT NULL,
    UNIQUE (of, changed, body)
);
INSERT INTO "history" VALUES(1,2,X'B34F0F6832F32475A7DE8781B77FD13A',1795877376706,'{"name":"Alby","rules":"r_vowels=two yu=two x=two qu=two syllabic=two flap=t cot_caught=apart ngk=two"}');
INSERT INTO "history" VALUES(2,1,X'6F8006A70F9817B421A4E190B526C86F',1795877377344,'{"child":4,"rulings":[{"verdict":"same","by":"parent","at":1795877377344}]}');
INSERT INTO "history" VALUES(3,1,X'9FCED7A475BF57E97619D909C9B63A32',1795877377480,'{"place":"dental","text":"The lips made a ring."}');
CREATE TABLE item (
    n INTEGER PRIMARY KEY,
    word TEXT NOT NULL,
    sounds TEXT NOT NULL,
    UNIQUE (word, sounds)
);
INSERT INTO "item" VALUES(1,'goat','G OW T');
INSERT INTO "item" VALUES(2,'ring','R IH NG');
INSERT INTO "item" VALUES(3,'splash','S P L AE SH');
INSERT INTO "item" VALUES(4,'barn','B AA R N');
INSERT INTO "item" VALUES(5,'pig','P IH G');
INSERT INTO "item" VALUES(6,'shed','SH EH D');
INSERT INTO "item" VALUES(7,'fist','F IH S T');
INSERT INTO "item" VALUES(8,'bell','B EH L');
CREATE TABLE item_sound (
    sound INTEGER NOT NULL,
    item INTEGER NOT NULL REFERENCES item (n),
    PRIMARY KEY (sound, item)
) WITHOUT ROWID;
INSERT INTO "item_sound" VALUES(0,4);
INSERT INTO "item_sound" VALUES(1,3);
INSERT INTO "item_sound" VALUES(6,4);
INSERT INTO "item_sound" VALUES(6,8);
INSERT INTO "item_sound" VALUES(8,6);
INSERT INTO "item_sound" VALUES(10,6);
INSERT INTO "item_sound" VALUES(10,8);
INSERT INTO "item_sound" VALUES(13,7);
INSERT INTO "item_sound" VALUES(14,1);
INSERT INTO "item_sound" VALUES(14,5);
INSERT INTO "item_sound" VALUES(16,2);
INSERT INTO "item_sound" VALUES(16,5);
INSERT INTO "item_sound" VALUES(16,7);
INSERT INTO "item_sound" VALUES(20,3);
INSERT INTO "item_sound" VALUES(20,8);
INSERT INTO "item_sound" VALUES(22,4);
INSERT INTO "item_sound" VALUES(23,2);
INSERT INTO "item_sound" VALUES(24,1);
INSERT INTO "item_sound" VALUES(26,3);
INSERT INTO "item_sound" VALUES(26,5);
INSERT INTO "item_sound" VALUES(27,2);
INSERT INTO "item_sound" VALUES(27,4);
INSERT INTO "item_sound" VALUES(28,3);
INSERT INTO "item_sound" VALUES(28,7);
INSERT INTO "item_sound" VALUES(29,3);
INSERT INTO "item_sound" VALUES(29,6);
INSERT INTO "item_sound" VALUES(30,1);
INSERT INTO "item_sound" VALUES(30,7);
CREATE TABLE "judgement" (
    attempt INTEGER PRIMARY KEY REFERENCES attempt (n) ON DELETE CASCADE,
    body TEXT NOT NULL
);
INSERT INTO "judgement" VALUES(1,'{"format":1,"model":null,"speaking":"whole","expected":3,"expected_sounds":["G","OW","T"],"heard":3,"count_probabilities":[[3,0.9984]],"verdict":"same","fit":{"same":0.9976,"fewer":0.0008,"more":0.0008,"changed":0.0008},"sounds":[{"sound":"G","start_s":0.35,"end_s":0.4,"evidence":0.999},{"sound":"OW","start_s":0.4,"end_s":0.7,"evidence":1.0},{"sound":"T","start_s":0.7,"end_s":0.8,"evidence":0.999}],"quality":{"level_dbfs":-17.6,"snr_db":41.6,"clipped":false,"speech_s":0.47,"warnings":[]},"said":null}');
INSERT INTO "judgement" VALUES(2,'{"format":1,"model":null,"speaking":"whole","expected":3,"expected_sounds":["R","IH","NG"],"heard":3,"count_probabilities":[[3,1.0]],"verdict":"changed","fit":{"same":0.0222,"fewer":0.0,"more":0.0,"changed":0.9778},"sounds":[{"sound":"R","start_s":0.35,"end_s":0.52,"evidence":0.022},{"sound":"IH","start_s":0.52,"end_s":0.77,"evidence":1.0},{"sound":"NG","start_s":0.77,"end_s":0.94,"evidence":1.0}],"quality":{"level_dbfs":-16.8,"snr_db":42.5,"clipped":false,"speech_s":0.61,"warnings":[]},"said":"Listen to the first sound: is it \"r\", or nearer to \"w\"?"}');
INSERT INTO "judgement" VALUES(3,'{"format":1,"model":null,"speaking":"whole","expected":5,"expected_sounds":["S","P","L","AE","SH"],"heard":5,"count_probabilities":[[5,0.9993]],"verdict":"same","fit":{"same":0.9993,"fewer":0.0001,"more":0.0006,"changed":0.0},"sounds":[{"sound":"S","start_s":0.35,"end_s":0.41,"evidence":1.0},{"sound":"P","start_s":0.41,"end_s":0.49,"evidence":1.0},{"sound":"L","start_s":0.49,"end_s":0.57,"evidence":1.0},{"sound":"AE","start_s":0.57,"end_s":0.84,"evidence":1.0},{"sound":"SH","start_s":0.84,"end_s":0.98,"evidence":1.0}],"quality":{"level_dbfs":-20.1,"snr_db":39.1,"clipped":false,"speech_s":0.65,"warnings":[]},"said":null}');
INSERT INTO "judgement" VALUES(7,'{"format":1,"model":"f4fcab2a558d","speaking":"whole","expected":3,"expected_sounds":["SH","EH","D"],"heard":3,"count_probabilities":[[3,0.999439]],"verdict":"same","fit":{"same":0.99714273,"fewer":0.000059085607,"more":0.0005019504,"changed":0.0022962312},"sounds":[{"sound":"SH","start_s":0.35,"end_s":0.45000002,"evidence":0.9998467,"right":0.9966356},{"sound":"EH","start_s":0.45000002,"end_s":0.54999995,"evidence":0.9980014,"right":0.9892545},{"sound":"D","start_s":0.54999995,"end_s":0.67999995,"evidence":0.99999994,"right":0.9964889}],"quality":{"level_dbfs":-18.061941,"snr_db":41.084026,"clipped":false,"speech_s":0.32,"warnings":[]},"said":null}');
INSERT INTO "judgement" VALUES(8,'{"format":1,"model":"f4fcab2a558d","speaking":"whole","expected":4,"expected_sounds":["F","IH","S","T"],"heard":1,"count_probabilities":[[1,0.46994027],[2,0.20418611],[3,0.042268716],[4,0.2818842],[5,0.0014744692]],"verdict":"unsure","fit":{"same":0.20101297,"fewer":0.7163955,"more":0.0017208442,"changed":0.08087135},"sounds":[{"sound":"F","start_s":1.79,"end_s":1.81,"evidence":0.27183867,"right":0.80331385},{"sound":"IH","start_s":1.81,"end_s":1.8299999,"evidence":0.20400131,"right":0.8079878},{"sound":"S","start_s":1.8299999,"end_s":1.9200001,"evidence":0.27242172,"right":0.9777299},{"sound":"T","start_s":1.9200001,"end_s":1.94,"evidence":0.2722224,"right":0.90398186}],"quality":{"level_dbfs":-17.747213,"snr_db":41.464577,"clipped":false,"speech_s":0.8,"warnings":["several_stretches"]},"said":"Listen to sound 2 of 4: is it \"ih\", or nearer to \"ee\"?"}');
INSERT INTO "judgement" VALUES(9,'{"format":1,"model":"15b5201ae3cd","speaking":"whole","expected":3,"expected_sounds":["B","EH","L"],"heard":3,"count_probabilities":[[3,0.99998987]],"verdict":"changed","fit":{"same":0.076468974,"fewer":5.5194394e-10,"more":0.000010227344,"changed":0.92352086},"sounds":[{"sound":"B","start_s":0.35,"end_s":0.41,"evidence":0.9999995,"right":0.9762364},{"sound":"EH","start_s":0.41,"end_s":0.65999997,"evidence":0.07647902,"right":0.22059998},{"sound":"L","start_s":0.65999997,"end_s":0.82000005,"evidence":0.9999995,"right":0.9819463}],"quality":{"level_dbfs":-16.054739,"snr_db":43.160866,"clipped":false,"speech_s":0.49,"warnings":[]},"said":"Listen to sound 2 of 3: is it \"eh\", or nearer to \"ih\"?"}');
CREATE TABLE learner (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    name TEXT NOT NULL,
    rules TEXT NOT NULL,
    made INTEGER NOT NULL,
    changed INTEGER NOT NULL
);
INSERT INTO "learner" VALUES(1,X'2C69849D2B2EAFB6FBD0DCB9EEC9AA78','Juno','r_vowels=one yu=one x=two qu=two syllabic=two flap=t cot_caught=apart ngk=two',1795877376698,1795877376698);
INSERT INTO "learner" VALUES(2,X'B34F0F6832F32475A7DE8781B77FD13A','Alby Q','r_vowels=two yu=two x=two qu=two syllabic=two flap=t cot_caught=apart ngk=two',1795877376706,1795877376718);
CREATE TABLE named (
    learner INTEGER NOT NULL REFERENCES learner (n),
    choice TEXT NOT NULL,
    taught INTEGER,
    changed INTEGER NOT NULL,
    PRIMARY KEY (learner, choice)
) WITHOUT ROWID;
INSERT INTO "named" VALUES(1,'ck, k or c',1,1795903550875);
CREATE TABLE note (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    kind INTEGER NOT NULL,
    about TEXT NOT NULL,
    author TEXT NOT NULL,
    made INTEGER NOT NULL,
    day INTEGER NOT NULL,
    body TEXT NOT NULL,
    changed INTEGER NOT NULL
);
INSERT INTO "note" VALUES(1,X'1ECF52C3D9E129E078CD9DCA6D2FA070',1,0,'','consultant',1795877377410,20261128,'{"place":"dental","text":"The lips made a ring."}',1795877377410);
INSERT INTO "note" VALUES(2,X'9FCED7A475BF57E97619D909C9B63A32',1,1,'TH','consultant',1795877377480,20261128,'{"place":"dental","text":"The lips made a ring, twice."}',1795877377495);
INSERT INTO "note" VALUES(4,X'6B208A2CF06421A4549FDF54B5E47565',1,3,'6f8006a70f9817b421a4e190b526c86f','consultant',1795877377489,20261128,'{"place":"dental","text":"The lips made a ring."}',1795877377489);
INSERT INTO "note" VALUES(5,X'6E8489774A749AA0C9F835C1AE754F30',1,2,'fist','parent',1795890829288,20261128,'{"text":"The last two sounds run together."}',1795890829288);
INSERT INTO "note" VALUES(6,X'66EFFF10CB4D61C9B316DAC3C1424F09',1,3,'4452421735fe7e3b95ba8716d83d017c','consultant',1795903539943,20261128,'{"text":"Voice on at the end of bell."}',1795903539943);
CREATE TABLE rules (
    n INTEGER PRIMARY KEY,
    text TEXT NOT NULL UNIQUE
);
INSERT INTO "rules" VALUES(1,'r_vowels=one yu=one x=two qu=two syllabic=two flap=t cot_caught=apart ngk=two');
INSERT INTO "rules" VALUES(2,'r_vowels=two yu=two x=two qu=two syllabic=two flap=t cot_caught=apart ngk=two');
CREATE TABLE session (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    began INTEGER NOT NULL,
    day INTEGER NOT NULL,
    ended INTEGER,
    plan TEXT NOT NULL,
    changed INTEGER NOT NULL
);
INSERT INTO "session" VALUES(1,X'ECC88A753A1B706C4B1181F054E8120D',1,1795200000000,20261120,1795877377578,'goat ring spoon',1795877377578);
INSERT INTO "session" VALUES(2,X'A2DB241E2AD1D5561C1B4428B9535A5E',2,1795200000000,20261120,NULL,'',1795200000000);
INSERT INTO "session" VALUES(3,X'B6FB06A2590C2065AEB2EBDA5315753C',1,1795890828695,20261128,1795890828747,'',1795890828747);
INSERT INTO "session" VALUES(4,X'DB74C4CA35D658D7D946AC95D6E0D7A9',1,1795890829233,20261128,1795890829255,'',1795890829255);
INSERT INTO "session" VALUES(5,X'8C29707BB764E17ECB03D091FD29185F',1,1795903534111,20261128,1795903534170,'',1795903534170);
CREATE TABLE tally (
    learner INTEGER NOT NULL,
    month INTEGER NOT NULL,
    item INTEGER NOT NULL,
    rules INTEGER NOT NULL,
    speaking INTEGER NOT NULL,
    expected INTEGER NOT NULL,
    child INTEGER NOT NULL,
    heard INTEGER NOT NULL,
    verdict INTEGER NOT NULL,
    ruling INTEGER NOT NULL,
    attempts INTEGER NOT NULL,
    PRIMARY KEY (learner, month, item, rules, speaking, expected, child, heard, verdict, ruling)
) WITHOUT ROWID;
INSERT INTO "tally" VALUES(1,202611,1,1,0,3,3,3,0,-1,1);
INSERT INTO "tally" VALUES(1,202611,2,1,0,3,4,3,3,3,1);
INSERT INTO "tally" VALUES(1,202611,3,1,0,5,5,5,0,1,1);
INSERT INTO "tally" VALUES(1,202611,4,1,0,3,3,-1,-1,-1,1);
INSERT INTO "tally" VALUES(1,202611,4,2,0,4,4,-1,-1,-1,1);
INSERT INTO "tally" VALUES(1,202611,6,1,0,3,3,3,0,-1,1);
INSERT INTO "tally" VALUES(1,202611,7,1,0,4,3,1,4,-1,1);
INSERT INTO "tally" VALUES(1,202611,8,1,0,3,3,3,3,-1,1);
INSERT INTO "tally" VALUES(2,202611,5,2,0,3,2,-1,-1,-1,1);
CREATE TABLE vowel (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    at INTEGER NOT NULL,
    day INTEGER NOT NULL,
    sound TEXT NOT NULL,
    word TEXT,
    f0 REAL,
    f1 REAL NOT NULL,
    f2 REAL NOT NULL,
    f3 REAL,
    recording BLOB
);
INSERT INTO "vowel" VALUES(1,X'332AF24A4D00DB8096436499F9F1C6B1',1,1795200360000,20261120,'IY','seat',251.5,452.0,3081.0,NULL,NULL);
CREATE TABLE writing (
    n INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE,
    learner INTEGER NOT NULL REFERENCES learner (n),
    session INTEGER REFERENCES session (n),
    word TEXT NOT NULL,
    tries TEXT NOT NULL,
    source TEXT NOT NULL,
    help TEXT NOT NULL,
    day INTEGER NOT NULL,
    kept_at INTEGER NOT NULL,
    undone INTEGER NOT NULL DEFAULT 0,
    changed INTEGER NOT NULL
);
INSERT INTO "writing" VALUES(1,X'9DFDD121EE138A5B445F1AF10AEACD7F',1,NULL,'bridge','["brige"]','paper','none',20261121,1795903539787,0,1795903539787);
INSERT INTO "writing" VALUES(2,X'2EE64F24A6E256C74C6A68EB1EEA24C4',1,NULL,'roof','["roof"]','paper','none',20261121,1795903539787,0,1795903539787);
CREATE INDEX session_by_learner ON session (learner, began);
CREATE INDEX attempt_by_model ON attempt (learner, undone, model, day);
CREATE INDEX attempt_by_item ON attempt (item, learner);
CREATE INDEX attempt_by_session ON attempt (session, at);
CREATE INDEX attempt_by_recording ON attempt (recording) WHERE recording IS NOT NULL;
CREATE INDEX attempt_told ON attempt (learner) WHERE instr(edits, '"sounds":') > 0 AND undone = 0;
CREATE INDEX attempt_undone ON attempt (undone) WHERE undone = 1;
CREATE TRIGGER tally_new AFTER INSERT ON attempt WHEN new.undone = 0 BEGIN
    INSERT INTO tally VALUES (new.learner, new.day / 100, new.item, new.rules, new.speaking, new.expected,
        ifnull(new.child, -1), ifnull(new.heard, -1), ifnull(new.verdict, -1), ifnull(new.ruling, -1), 1)
    ON CONFLICT DO UPDATE SET attempts = attempts + 1;
END;
CREATE TRIGGER tally_gone AFTER DELETE ON attempt WHEN old.undone = 0 BEGIN
    UPDATE tally SET attempts = attempts - 1 WHERE (learner, month, item, rules, speaking, expected, child, heard,
        verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1));
    DELETE FROM tally WHERE (learner, month, item, rules, speaking, expected, child, heard,
        verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1))
        AND attempts = 0;
END;
CREATE TRIGGER tally_changed AFTER UPDATE OF learner, day, item, rules, speaking, expected, child, heard, verdict,
    ruling, undone ON attempt
BEGIN
    UPDATE tally SET attempts = attempts - 1 WHERE old.undone = 0 AND (learner, month, item, rules, speaking, expected,
        child, heard, verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1));
    DELETE FROM tally WHERE (learner, month, item, rules, speaking, expected, child, heard,
        verdict, ruling) = (old.learner, old.day / 100, old.item, old.rules, old.speaking, old.expected,
        ifnull(old.child, -1), ifnull(old.heard, -1), ifnull(old.verdict, -1), ifnull(old.ruling, -1))
        AND attempts = 0;
    INSERT INTO tally SELECT new.learner, new.day / 100, new.item, new.rules, new.speaking, new.expected,
        ifnull(new.child, -1), ifnull(new.heard, -1), ifnull(new.verdict, -1), ifnull(new.ruling, -1), 1
        WHERE new.undone = 0
    ON CONFLICT DO UPDATE SET attempts = attempts + 1;
END;
CREATE INDEX note_by_about ON note (learner, kind, about);
CREATE INDEX note_by_day ON note (learner, day);
CREATE UNIQUE INDEX draft_key ON draft (ifnull(learner, 0), key);
CREATE INDEX enrolment_by_learner ON enrolment (learner, at);
CREATE INDEX vowel_by_learner ON vowel (learner, day);
CREATE INDEX vowel_by_recording ON vowel (recording) WHERE recording IS NOT NULL;
CREATE INDEX history_by_learner ON history (learner);
CREATE INDEX gone_by_learner ON gone (learner);
CREATE INDEX attempt_by_day
    ON attempt (learner, undone, day, at, item, verdict, ruling, speaking, child, expected, heard, rules);
CREATE INDEX writing_by_day ON writing (learner, undone, day);
CREATE INDEX writing_by_session ON writing (session) WHERE session IS NOT NULL;
CREATE INDEX writing_undone ON writing (undone) WHERE undone = 1;
COMMIT;
