export const ANSWER_EXAMPLES = {
 "readLiveness live": {
  "status": 200,
  "type": "application/json",
  "value": {
   "status": "live"
  }
 },
 "readReadiness ready": {
  "status": 200,
  "type": "application/json",
  "value": {
   "status": "ready"
  }
 },
 "readDescription all": {
  "status": 200,
  "type": "application/json"
 },
 "readProblem one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "code": "UNKNOWN_SOURCE",
   "meaning": "No such source is registered.",
   "remedy": "Register the source, or correct its name."
  }
 },
 "readProblem unknown": {
  "status": 404,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/NOT_FOUND",
   "title": "There is nothing here under that id.",
   "status": 404,
   "detail": "path.code: expected the code of a problem. Use a code as an answer gave it.",
   "code": "NOT_FOUND",
   "issues": [
    {
     "at": "path.code",
     "expected": "the code of a problem",
     "remedy": "Use a code as an answer gave it.",
     "code": "NOT_FOUND"
    }
   ]
  }
 },
 "readKeySet empty": {
  "status": 200,
  "type": "application/json",
  "value": {
   "keys": []
  }
 },
 "readDocumentation page": {
  "status": 200,
  "type": "text/html"
 },
 "readDocumentationFile style": {
  "status": 200,
  "type": "text/css"
 },
 "registerSource new": {
  "status": 201,
  "type": "application/json",
  "value": {
   "name": "harbour-app",
   "title": "Harbour home app"
  }
 },
 "registerSource renamed": {
  "status": 200,
  "type": "application/json",
  "value": {
   "name": "harbour-app",
   "title": "Harbour app"
  }
 },
 "listSources all": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "name": "harbour-app",
     "title": "Harbour app"
    }
   ]
  }
 },
 "listKeys all": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "id": "3fa94c0d2b1e",
     "role": "audit",
     "label": "laptop",
     "madeAt": "2026-03-20T12:00:00Z"
    }
   ]
  }
 },
 "revokeKey one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": "3fa94c0d2b1e",
   "role": "audit",
   "label": "laptop",
   "madeAt": "2026-03-20T12:00:00Z",
   "revokedAt": "2026-03-20T12:00:00Z"
  }
 },
 "revokeKey unknown": {
  "status": 404,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/NOT_FOUND",
   "title": "There is nothing here under that id.",
   "status": 404,
   "detail": "path.id: expected the id of a key. Use an id that GET /keys lists.",
   "code": "NOT_FOUND",
   "issues": [
    {
     "at": "path.id",
     "expected": "the id of a key",
     "remedy": "Use an id that GET /keys lists.",
     "code": "NOT_FOUND"
    }
   ]
  }
 },
 "issueSourceKey submit": {
  "status": 201,
  "type": "application/json",
  "value": {
   "key": "hbp_xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx",
   "id": "5e884898da28",
   "role": "submit",
   "source": "harbour-app"
  }
 },
 "issueSourceKey labelled": {
  "status": 201,
  "type": "application/json",
  "value": {
   "key": "hbp_xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx",
   "id": "5e884898da28",
   "role": "submit",
   "source": "harbour-app",
   "label": "new phone"
  }
 },
 "issueKey read": {
  "status": 201,
  "type": "application/json",
  "value": {
   "key": "hbp_xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx",
   "id": "5e884898da28",
   "role": "read",
   "label": "dashboard"
  }
 },
 "listMappings all": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "name": "bluetooth-blood-pressure",
     "title": "Indications of a Bluetooth blood pressure monitor, sent by a phone app with what only the app knows",
     "format": "bluetooth",
     "mediaTypes": [
      "application/json",
      "application/x-ndjson",
      "application/ndjson"
     ],
     "sha256": "77ee503e1ab917f0eeeac371a455943dc3c15456cf64975d8b4e6f56e7dd5829"
    },
    {
     "name": "diary-one-row-per-reading",
     "title": "A diary typed by hand: one row for each reading, decimal comma, semicolons, DD.MM.YYYY",
     "format": "csv",
     "mediaTypes": [
      "text/csv"
     ],
     "sha256": "4a3f680e84be93a8be46afd5eeccde7229b16fe6d8e4b47a7122f280588b4076"
    },
    {
     "name": "diary-three-pairs-of-columns",
     "title": "A diary typed by hand: one row for each sitting, three readings a row, commas, ISO dates",
     "format": "csv",
     "mediaTypes": [
      "text/csv"
     ],
     "sha256": "49f039e947f6f778db7727fc1d04315250c8e390c911b745a48754266ac24119"
    },
    {
     "name": "fhir-r4",
     "title": "Home blood pressure as FHIR R4 Observations",
     "format": "fhir",
     "mediaTypes": [
      "application/fhir+json",
      "application/json",
      "application/x-ndjson",
      "application/ndjson",
      "application/fhir+ndjson"
     ],
     "sha256": "4639338fe9cb50314caab833c90e5508967319ee2659725c2250831f7bd56c11"
    },
    {
     "name": "hl7v2-oru",
     "title": "Home readings as HL7 v2 results (ORU^R01)",
     "format": "hl7v2",
     "mediaTypes": [
      "application/hl7-v2",
      "text/plain"
     ],
     "sha256": "13290712f8815e3d9d800a74cae12104df50cd98e768406a13c1f92e03720716"
    },
    {
     "name": "open-mhealth",
     "title": "Open mHealth data points with blood pressures taken at home",
     "format": "json",
     "mediaTypes": [
      "application/json",
      "application/x-ndjson",
      "application/ndjson"
     ],
     "sha256": "f0094e07f0930704913520f6d2c7eba948219effb45c3c37531484da567038aa"
    }
   ]
  }
 },
 "sendSessions one": {
  "status": 201,
  "type": "application/json",
  "value": {
   "outcome": "kept",
   "session": "3fd4369f-16e7-5d19-aae7-5e9be64a1c18",
   "source": "harbour-app",
   "id": "hw-1002-001",
   "version": 1,
   "withdrawn": false,
   "sha256": "d9858655230f095e8aed8d2cff573ae59cdbe194708b49e1013ad58729856b9d",
   "receivedAt": "2026-03-20T12:00:00Z",
   "enrolled": false,
   "findings": []
  }
 },
 "sendSessions again": {
  "status": 200,
  "type": "application/json",
  "value": {
   "outcome": "same",
   "session": "3fd4369f-16e7-5d19-aae7-5e9be64a1c18",
   "source": "harbour-app",
   "id": "hw-1002-001",
   "version": 1,
   "withdrawn": false,
   "sha256": "d9858655230f095e8aed8d2cff573ae59cdbe194708b49e1013ad58729856b9d",
   "receivedAt": "2026-03-20T12:00:00Z",
   "enrolled": false,
   "findings": []
  }
 },
 "sendSessions refused": {
  "status": 422,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/TIME_NEEDS_OFFSET",
   "title": "A wall-clock time came without an offset, and no single moment can be meant.",
   "status": 422,
   "detail": "takenAt: expected when the sitting took place: a time from 1990 to 2100 with seconds and offset, such as 2026-03-02T06:41:00-07:00; the offset may be left out when the subject is enrolled with a time zone. Send the offset, or enrol the subject with a time zone first.",
   "code": "TIME_NEEDS_OFFSET",
   "issues": [
    {
     "at": "takenAt",
     "expected": "when the sitting took place: a time from 1990 to 2100 with seconds and offset, such as 2026-03-02T06:41:00-07:00; the offset may be left out when the subject is enrolled with a time zone",
     "remedy": "Send the offset, or enrol the subject with a time zone first.",
     "code": "TIME_NEEDS_OFFSET"
    }
   ]
  }
 },
 "readSource one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "name": "harbour-app",
   "title": "Harbour app",
   "waiting": {
    "subjects": 1,
    "sessions": 1
   }
  }
 },
 "listWaiting first": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "subject": "HW-1002",
     "sessions": 1,
     "firstReceived": "2026-03-20T12:00:00Z",
     "lastReceived": "2026-03-20T12:00:00Z"
    }
   ]
  }
 },
 "saveEnrolment new": {
  "status": 200,
  "type": "application/json",
  "value": {
   "source": "harbour-app",
   "subject": "HW-1002",
   "patient": {
    "system": "https://lantern-bay.example/patient-number",
    "value": "LB-20433"
   },
   "zone": "Europe/London",
   "destination": "lantern-bay",
   "queued": 1,
   "moving": 0
  }
 },
 "saveEnrolment arm": {
  "status": 200,
  "type": "application/json",
  "value": {
   "source": "harbour-app",
   "subject": "HW-1002",
   "patient": {
    "system": "https://lantern-bay.example/patient-number",
    "value": "LB-20433"
   },
   "zone": "Europe/London",
   "destination": "lantern-bay",
   "armCircumferenceCm": 30,
   "queued": 0,
   "moving": 0
  }
 },
 "saveEnrolment nowhere": {
  "status": 422,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/UNKNOWN_DESTINATION",
   "title": "No such destination is in the settings.",
   "status": 422,
   "detail": "destination: expected one of: lantern-bay. Use a destination of the settings.",
   "code": "UNKNOWN_DESTINATION",
   "issues": [
    {
     "at": "destination",
     "expected": "one of: lantern-bay",
     "remedy": "Use a destination of the settings.",
     "code": "UNKNOWN_DESTINATION"
    }
   ]
  }
 },
 "listEnrolments source": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "source": "harbour-app",
     "subject": "HW-1002",
     "patient": {
      "system": "https://lantern-bay.example/patient-number",
      "value": "LB-20433"
     },
     "zone": "Europe/London",
     "destination": "lantern-bay",
     "armCircumferenceCm": 30
    }
   ]
  }
 },
 "readEnrolment one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "source": "harbour-app",
   "subject": "HW-1002",
   "patient": {
    "system": "https://lantern-bay.example/patient-number",
    "value": "LB-20433"
   },
   "zone": "Europe/London",
   "destination": "lantern-bay",
   "armCircumferenceCm": 30
  }
 },
 "readEnrolment unknown": {
  "status": 404,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/NOT_FOUND",
   "title": "There is nothing here under that id.",
   "status": 404,
   "detail": "path.subject: expected an enrolled subject of this source. Check both names.",
   "code": "NOT_FOUND",
   "issues": [
    {
     "at": "path.subject",
     "expected": "an enrolled subject of this source",
     "remedy": "Check both names.",
     "code": "NOT_FOUND"
    }
   ]
  }
 },
 "listProtocols all": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "id": "acc-aha-2017-home",
     "title": "ACC/AHA 2017 home measurement: the week before a visit, twice a day, nothing left out",
     "averages": "home",
     "evidence": "read",
     "citation": {
      "text": "ACC/AHA guideline for high blood pressure in adults, 2017. doi:10.1161/HYP.0000000000000065, home measurement table on the AHA’s pocket-guideline page, the same in PMC8034801, table 2",
      "url": "https://doi.org/10.1161/HYP.0000000000000065"
     }
    },
    {
     "id": "aha-2019-home",
     "title": "AHA scientific statement 2019: 3 to 7 days, twice a day, nothing left out",
     "averages": "home",
     "evidence": "reported",
     "citation": {
      "text": "AHA scientific statement on measurement of blood pressure in humans, 2019, as reported by others. doi:10.1161/HYP.0000000000000087",
      "url": "https://doi.org/10.1161/HYP.0000000000000087"
     }
    },
    {
     "id": "aha-ama-2020-home",
     "title": "AHA/AMA joint policy 2020: 3 to 7 days, twice a day, nothing left out",
     "averages": "home",
     "evidence": "reported",
     "citation": {
      "text": "AHA/AMA joint policy statement on self-measured blood pressure at home, 2020. doi:10.1161/CIR.0000000000000803, as reported by others, and the AHA/AMA programme page",
      "url": "https://doi.org/10.1161/CIR.0000000000000803"
     }
    },
    {
     "id": "aha-ash-pcna-2008-home",
     "title": "AHA/ASH/PCNA call to action 2008: 7 days, twice a day, first day left out",
     "averages": "home",
     "evidence": "reported",
     "citation": {
      "text": "AHA/ASH/PCNA call to action on home monitoring, 2008, as reprinted in PMC8109940, table II",
      "url": "https://pmc.ncbi.nlm.nih.gov/articles/PMC8109940/"
     }
    },
    {
     "id": "cmaj-2021-home",
     "title": "CMAJ 2021 patient summary: 7 days, twice a day, 28 readings, no day left out",
     "averages": "home",
     "evidence": "read",
     "citation": {
      "text": "Patient summary of the Hypertension Canada recommendations, CMAJ 2021. PMC8342011",
      "url": "https://pmc.ncbi.nlm.nih.gov/articles/PMC8342011/"
     }
    },
    {
     "id": "esc-2024-home",
     "title": "ESC 2024 home monitoring: 3 to 7 days, twice a day, nothing left out (from memory, unverified)",
     "averages": "home",
     "evidence": "memory",
     "citation": {
      "text": "ESC guidelines for elevated blood pressure and hypertension, 2024. doi:10.1093/eurheartj/ehae178",
      "url": "https://doi.org/10.1093/eurheartj/ehae178"
     }
    },
    {
     "id": "esc-esh-2018-home",
     "title": "ESC/ESH 2018 home monitoring: 3 to 7 days, twice a day, nothing left out (from memory, unverified)",
     "averages": "home",
     "evidence": "memory",
     "citation": {
      "text": "ESC/ESH guidelines for arterial hypertension, 2018. doi:10.1093/eurheartj/ehy339",
      "url": "https://doi.org/10.1093/eurheartj/ehy339"
     }
    },
    {
     "id": "esh-2008-home",
     "title": "ESH 2008 home monitoring: 3 to 7 days, twice a day, first day left out (from memory, unverified)",
     "averages": "home",
     "evidence": "memory",
     "citation": {
      "text": "ESH guidelines for home blood pressure monitoring, J Hypertens 2008;26:1505, and their practice summary, J Hum Hypertens 2010;24:779"
     }
    },
    {
     "id": "esh-2021-home",
     "title": "ESH 2021 home monitoring: 3 to 7 days, twice a day, first day left out (from memory, unverified)",
     "averages": "home",
     "evidence": "memory",
     "citation": {
      "text": "ESH practice guidelines for office and out-of-office measurement, 2021. doi:10.1097/HJH.0000000000002843; ESH position paper on home monitoring, doi:10.1097/HJH.0000000000002922; ESH guidelines 2023, J Hypertens 41:1874",
      "url": "https://doi.org/10.1097/HJH.0000000000002843"
     }
    },
    {
     "id": "family-practice-triplicate",
     "title": "Family-practice triplicate: 5 days, three readings twice a day, two days and each first reading left out",
     "averages": "home",
     "evidence": "read",
     "citation": {
      "text": "J Am Board Fam Med, table 1, Suggested Home BP Measurement Protocol; the article it belongs to was not seen"
     }
    },
    {
     "id": "fortnight-of-mornings",
     "title": "Fortnight of mornings: three readings each morning for 14 days",
     "averages": "home",
     "evidence": "common-practice",
     "citation": {
      "text": "Common practice; no published source"
     }
    },
    {
     "id": "hypertension-canada-home",
     "title": "Hypertension Canada home series: 7 days, twice a day, first day left out",
     "averages": "home",
     "evidence": "reported",
     "citation": {
      "text": "Hypertension Canada (CHEP) recommendations on home measurement: the society’s page and the CHEP 2017 list, kept to 2020"
     }
    },
    {
     "id": "ish-2020-home",
     "title": "ISH 2020 home monitoring: 3 to 7 days, twice a day, first day left out (from memory, unverified)",
     "averages": "home",
     "evidence": "memory",
     "citation": {
      "text": "ISH global hypertension practice guidelines, 2020. doi:10.1161/HYPERTENSIONAHA.120.15026",
      "url": "https://doi.org/10.1161/HYPERTENSIONAHA.120.15026"
     }
    },
    {
     "id": "jsh-2019-home",
     "title": "JSH 2019 home measurement: 5 to 7 days, mornings and evenings averaged apart (from memory, unverified)",
     "averages": "home",
     "evidence": "memory",
     "citation": {
      "text": "JSH guidelines for the management of hypertension, 2019. doi:10.1038/s41440-019-0284-9",
      "url": "https://doi.org/10.1038/s41440-019-0284-9"
     }
    },
    {
     "id": "ksh-2018-home",
     "title": "KSH 2018 home measurement: 5 to 7 days, one to three readings, nothing left out",
     "averages": "home",
     "evidence": "read",
     "citation": {
      "text": "KSH hypertension guidelines 2018, blood pressure measurement, table 2. doi:10.1186/s40885-019-0124-x",
      "url": "https://doi.org/10.1186/s40885-019-0124-x"
     }
    },
    {
     "id": "nice-ng136-home",
     "title": "NICE NG136 home monitoring: 4 to 7 days, twice a day, first day left out",
     "averages": "home",
     "evidence": "read",
     "citation": {
      "text": "NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023, recommendations 1.2.7 and 1.2.8",
      "url": "https://www.nice.org.uk/guidance/ng136"
     }
    },
    {
     "id": "taiwan-2020-home",
     "title": "Taiwan consensus 2020, “722”: 4 to 7 days, first day left out, mornings and evenings averaged apart",
     "averages": "home",
     "evidence": "read",
     "citation": {
      "text": "Taiwan consensus on home blood pressure, 2020, table 1, the “722” protocol. PMC7677637",
      "url": "https://pmc.ncbi.nlm.nih.gov/articles/PMC7677637/"
     }
    },
    {
     "id": "chep-2017-recording",
     "title": "CHEP 2017 24-hour recording: 70 % of attempts, 20 by day, 7 by night",
     "averages": "24-hour",
     "evidence": "read",
     "citation": {
      "text": "CHEP 2017 guidelines, table on ambulatory monitoring: at least 70 % of readings, at least 20 by day and 7 by night; every 20 to 30 minutes by day, 30 to 60 by night; fixed hours 08:00 to 22:00 without a diary"
     }
    },
    {
     "id": "nice-ng136-recording",
     "title": "NICE NG136 ambulatory recording: mean of 14 or more awake readings",
     "averages": "24-hour",
     "evidence": "read",
     "citation": {
      "text": "NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023, recommendations on ambulatory monitoring: at least two measurements an hour while awake, the average of at least 14 of them",
      "url": "https://www.nice.org.uk/guidance/ng136"
     }
    }
   ]
  }
 },
 "openPeriod days": {
  "status": 201,
  "type": "application/json",
  "value": {
   "id": "e82f5974-fbdf-55dd-bffc-644b5d056903",
   "source": "harbour-app",
   "subject": "HW-1002",
   "protocol": "nice-ng136-home",
   "firstDay": "2026-03-02",
   "lastDay": "2026-03-04",
   "state": "open",
   "revision": 0,
   "due": "2026-03-05T12:00:00Z"
  }
 },
 "listPeriods first": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "id": "e82f5974-fbdf-55dd-bffc-644b5d056903",
     "source": "harbour-app",
     "subject": "HW-1002",
     "protocol": "nice-ng136-home",
     "firstDay": "2026-03-02",
     "lastDay": "2026-03-04",
     "state": "open",
     "revision": 0,
     "due": "2026-03-05T12:00:00Z"
    }
   ]
  }
 },
 "listPeriods open": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "id": "e82f5974-fbdf-55dd-bffc-644b5d056903",
     "source": "harbour-app",
     "subject": "HW-1002",
     "protocol": "nice-ng136-home",
     "firstDay": "2026-03-02",
     "lastDay": "2026-03-04",
     "state": "open",
     "revision": 0,
     "due": "2026-03-05T12:00:00Z"
    }
   ]
  }
 },
 "readPeriod open": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": "e82f5974-fbdf-55dd-bffc-644b5d056903",
   "source": "harbour-app",
   "subject": "HW-1002",
   "protocol": "nice-ng136-home",
   "firstDay": "2026-03-02",
   "lastDay": "2026-03-04",
   "state": "open",
   "revision": 0,
   "due": "2026-03-05T12:00:00Z"
  }
 },
 "sendSessions array": {
  "status": 207,
  "type": "application/json",
  "value": {
   "results": [
    {
     "outcome": "kept",
     "session": "99e33b87-bdc4-5f58-a0b2-0594b9da5753",
     "source": "harbour-app",
     "id": "hw-1002-003",
     "version": 1,
     "withdrawn": false,
     "sha256": "f1210e6947a1dc28f63d039e7182dd6021df6663a9937cd2e88ec4ccebdd6fc2",
     "receivedAt": "2026-03-20T12:00:00Z",
     "enrolled": true,
     "findings": []
    },
    {
     "outcome": "kept",
     "session": "6c4439e4-1892-5493-b171-a3a78dd72518",
     "source": "harbour-app",
     "id": "hw-1002-004",
     "version": 1,
     "withdrawn": false,
     "sha256": "047a24d602031226fd17cadec8d172fe756d1810cd8284c04e68b4b65eec383e",
     "receivedAt": "2026-03-20T12:00:00Z",
     "enrolled": true,
     "findings": []
    },
    {
     "outcome": "refused",
     "code": "NOT_A_CHOICE",
     "issues": [
      {
       "at": "arm",
       "expected": "the arm that was measured: left or right; left out when it is not known",
       "remedy": "Use one of the words listed, spelled exactly so.",
       "code": "NOT_A_CHOICE"
      }
     ]
    }
   ],
   "summary": {
    "received": 3,
    "kept": 2,
    "same": 0,
    "corrected": 0,
    "withdrawn": 0,
    "refused": 1,
    "skipped": 0
   }
  }
 },
 "sendSessions stream": {
  "status": 200,
  "type": "application/x-ndjson",
  "value": "{\"line\":1,\"outcome\":\"kept\",\"session\":\"aae94062-2c5f-5764-8584-8764601195a2\",\"source\":\"harbour-app\",\"id\":\"hw-1002-005\",\"version\":1,\"withdrawn\":false,\"sha256\":\"17dcbe718343811d8d43fca4c76850925dc6e9a902bbb54b390a18c0dffd9c5d\",\"receivedAt\":\"2026-03-20T12:00:00Z\",\"enrolled\":true,\"findings\":[]}\n{\"line\":2,\"outcome\":\"kept\",\"session\":\"8e37d519-fea8-52e1-9fe1-16542f87e1e0\",\"source\":\"harbour-app\",\"id\":\"hw-1002-006\",\"version\":1,\"withdrawn\":false,\"sha256\":\"2898867598a5f6703562a0d46ff3186bd751dcdd6a9c9cd1cbaeb9c86dc3e845\",\"receivedAt\":\"2026-03-20T12:00:00Z\",\"enrolled\":true,\"findings\":[]}\n{\"summary\":{\"received\":2,\"kept\":2,\"same\":0,\"corrected\":0,\"withdrawn\":0,\"refused\":0,\"skipped\":0}}\n"
 },
 "rehearse diary": {
  "status": 200,
  "type": "application/json",
  "value": {
   "mapping": {
    "name": "diary-one-row-per-reading",
    "title": "A diary typed by hand: one row for each reading, decimal comma, semicolons, DD.MM.YYYY",
    "format": "csv",
    "mediaTypes": [
     "text/csv"
    ],
    "sha256": "4a3f680e84be93a8be46afd5eeccde7229b16fe6d8e4b47a7122f280588b4076"
   },
   "rehearsals": [
    {
     "verdict": "passes",
     "sources": [
      {
       "line": 2,
       "path": "$"
      },
      {
       "line": 3,
       "path": "$"
      }
     ],
     "ignored": [],
     "fields": [
      {
       "place": "id",
       "rule": "/kinds/0",
       "line": 12,
       "how": "made",
       "from": [
        {
         "line": 2,
         "path": "Personne"
        },
        {
         "line": 2,
         "path": "Date"
        },
        {
         "line": 2,
         "path": "Heure"
        }
       ]
      },
      {
       "place": "subject",
       "rule": "/kinds/0/session/subject",
       "line": 15,
       "how": "as-is",
       "from": [
        {
         "line": 2,
         "path": "Personne"
        }
       ]
      },
      {
       "place": "takenAt",
       "rule": "/kinds/0/reading/takenAt",
       "line": 40,
       "how": "time",
       "from": [
        {
         "line": 2,
         "path": "Date"
        },
        {
         "line": 2,
         "path": "Heure"
        }
       ]
      },
      {
       "place": "setting",
       "rule": "/kinds/0/session/setting",
       "line": 19,
       "how": "constant",
       "from": []
      },
      {
       "place": "position",
       "rule": "/kinds/0/session/position",
       "line": 22,
       "how": "constant",
       "from": []
      },
      {
       "place": "arm",
       "rule": "/kinds/0/session/arm",
       "line": 25,
       "how": "code-table",
       "from": [
        {
         "line": 2,
         "path": "Bras"
        }
       ]
      },
      {
       "place": "site",
       "rule": "/kinds/0/session/site",
       "line": 29,
       "how": "constant",
       "from": []
      },
      {
       "place": "unit",
       "rule": "/kinds/0/session/unit",
       "line": 32,
       "how": "constant",
       "from": []
      },
      {
       "place": "entry",
       "rule": "/kinds/0/session/entry",
       "line": 35,
       "how": "constant",
       "from": []
      },
      {
       "place": "readings[0].takenAt",
       "rule": "/kinds/0/reading/takenAt",
       "line": 40,
       "how": "time",
       "from": [
        {
         "line": 2,
         "path": "Date"
        },
        {
         "line": 2,
         "path": "Heure"
        }
       ]
      },
      {
       "place": "readings[0].systolic",
       "rule": "/kinds/0/reading/systolic",
       "line": 48,
       "how": "number",
       "from": [
        {
         "line": 2,
         "path": "Systolique"
        }
       ]
      },
      {
       "place": "readings[0].diastolic",
       "rule": "/kinds/0/reading/diastolic",
       "line": 55,
       "how": "number",
       "from": [
        {
         "line": 2,
         "path": "Diastolique"
        }
       ]
      },
      {
       "place": "readings[0].pulse",
       "rule": "/kinds/0/reading/pulse",
       "line": 62,
       "how": "number",
       "from": [
        {
         "line": 2,
         "path": "Pouls"
        }
       ]
      },
      {
       "place": "readings[1].takenAt",
       "rule": "/kinds/0/reading/takenAt",
       "line": 40,
       "how": "time",
       "from": [
        {
         "line": 3,
         "path": "Date"
        },
        {
         "line": 3,
         "path": "Heure"
        }
       ]
      },
      {
       "place": "readings[1].systolic",
       "rule": "/kinds/0/reading/systolic",
       "line": 48,
       "how": "number",
       "from": [
        {
         "line": 3,
         "path": "Systolique"
        }
       ]
      },
      {
       "place": "readings[1].diastolic",
       "rule": "/kinds/0/reading/diastolic",
       "line": 55,
       "how": "number",
       "from": [
        {
         "line": 3,
         "path": "Diastolique"
        }
       ]
      },
      {
       "place": "readings[1].pulse",
       "rule": "/kinds/0/reading/pulse",
       "line": 62,
       "how": "number",
       "from": [
        {
         "line": 3,
         "path": "Pouls"
        }
       ]
      }
     ],
     "unfilled": [],
     "findings": [],
     "observations": 4,
     "record": {
      "id": "13dd93c3-8fbf-5f1e-815c-18016c6eb10b",
      "subject": "HW-1002",
      "takenAt": "2026-03-05T06:43:00",
      "setting": "home",
      "position": "sitting",
      "arm": "left",
      "site": "upper-arm",
      "unit": "kPa",
      "entry": "typed",
      "readings": [
       {
        "takenAt": "2026-03-05T06:43:00",
        "systolic": 17.6,
        "diastolic": 11.1,
        "pulse": 71
       },
       {
        "takenAt": "2026-03-05T06:45:00",
        "systolic": 17.3,
        "diastolic": 10.8,
        "pulse": 69
       }
      ]
     },
     "issues": [],
     "remarks": []
    }
   ]
  }
 },
 "sendSessions diary": {
  "status": 200,
  "type": "application/x-ndjson",
  "value": "{\"lines\":[2,3],\"outcome\":\"kept\",\"session\":\"41b7a0f2-50c6-5233-82f8-66dfa63bb784\",\"source\":\"harbour-app\",\"id\":\"13dd93c3-8fbf-5f1e-815c-18016c6eb10b\",\"version\":1,\"withdrawn\":false,\"sha256\":\"890fd442dde4fd073c58a73f678cc5e7ba9e62b013529a7f542d2e0e90c0e338\",\"receivedAt\":\"2026-03-20T12:00:00Z\",\"enrolled\":true,\"findings\":[]}\n{\"summary\":{\"received\":1,\"kept\":1,\"same\":0,\"corrected\":0,\"withdrawn\":0,\"refused\":0,\"skipped\":0}}\n"
 },
 "readSession held": {
  "status": 200,
  "type": "application/json",
  "value": {
   "session": "99e33b87-bdc4-5f58-a0b2-0594b9da5753",
   "id": "hw-1002-003",
   "source": "harbour-app",
   "version": 1,
   "withdrawn": false,
   "sha256": "f1210e6947a1dc28f63d039e7182dd6021df6663a9937cd2e88ec4ccebdd6fc2",
   "receivedAt": "2026-03-20T12:00:00Z",
   "record": {
    "id": "hw-1002-003",
    "subject": "HW-1002",
    "takenAt": "2026-03-03T06:45:10+00:00",
    "setting": "home",
    "position": "sitting",
    "arm": "left",
    "site": "upper-arm",
    "readings": [
     {
      "takenAt": "2026-03-03T06:45:10+00:00",
      "systolic": 134,
      "diastolic": 84,
      "pulse": 71
     },
     {
      "takenAt": "2026-03-03T06:46:25+00:00",
      "systolic": 131,
      "diastolic": 82,
      "pulse": 69
     }
    ],
    "unit": "mmHg",
    "entry": "transferred"
   }
  }
 },
 "readSession unknown": {
  "status": 404,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/NOT_FOUND",
   "title": "There is nothing here under that id.",
   "status": 404,
   "detail": "path.id: expected the id of a session of this source. Check the id.",
   "code": "NOT_FOUND",
   "issues": [
    {
     "at": "path.id",
     "expected": "the id of a session of this source",
     "remedy": "Check the id.",
     "code": "NOT_FOUND"
    }
   ]
  }
 },
 "correctSession position": {
  "status": 200,
  "type": "application/json",
  "value": {
   "outcome": "corrected",
   "session": "6c4439e4-1892-5493-b171-a3a78dd72518",
   "source": "harbour-app",
   "id": "hw-1002-004",
   "version": 2,
   "withdrawn": false,
   "sha256": "2a5ade9a43a6371f1a4da76e86ee7f10c4652f2d12367ab46beebfc8165c93b1",
   "receivedAt": "2026-03-20T12:00:00Z",
   "enrolled": true,
   "findings": [
    {
     "code": "not-seated",
     "kind": "technique",
     "severity": "warning",
     "direction": "either",
     "size": {
      "systolic": [
       -10.7,
       9.5
      ],
      "diastolic": [
       -13.4,
       6.4
      ]
     },
     "text": "The person was lying down and not seated, which can move the numbers either way (published mean effects: systolic -10.7 to +9.5 mmHg, diastolic -13.4 to +6.4 mmHg; with the arm at heart level one study found +8 systolic and no change in diastolic); the reading is kept as measured.",
     "citation": "kallioinen-2017",
     "alsoCites": [
      "nice-ng136",
      "pmid-8069403"
     ]
    }
   ]
  }
 },
 "listVersions corrected": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "session": "6c4439e4-1892-5493-b171-a3a78dd72518",
     "id": "hw-1002-004",
     "source": "harbour-app",
     "version": 1,
     "withdrawn": false,
     "sha256": "047a24d602031226fd17cadec8d172fe756d1810cd8284c04e68b4b65eec383e",
     "receivedAt": "2026-03-20T12:00:00Z",
     "record": {
      "id": "hw-1002-004",
      "subject": "HW-1002",
      "takenAt": "2026-03-03T20:10:02+00:00",
      "setting": "home",
      "position": "sitting",
      "arm": "left",
      "site": "upper-arm",
      "readings": [
       {
        "takenAt": "2026-03-03T20:10:02+00:00",
        "systolic": 129,
        "diastolic": 79,
        "pulse": 68
       },
       {
        "takenAt": "2026-03-03T20:11:20+00:00",
        "systolic": 128,
        "diastolic": 80,
        "pulse": 67
       }
      ],
      "unit": "mmHg",
      "entry": "transferred"
     }
    },
    {
     "session": "6c4439e4-1892-5493-b171-a3a78dd72518",
     "id": "hw-1002-004",
     "source": "harbour-app",
     "version": 2,
     "withdrawn": false,
     "sha256": "2a5ade9a43a6371f1a4da76e86ee7f10c4652f2d12367ab46beebfc8165c93b1",
     "receivedAt": "2026-03-20T12:00:00Z",
     "record": {
      "id": "hw-1002-004",
      "subject": "HW-1002",
      "takenAt": "2026-03-03T20:10:02+00:00",
      "setting": "home",
      "position": "lying",
      "arm": "left",
      "site": "upper-arm",
      "readings": [
       {
        "takenAt": "2026-03-03T20:10:02+00:00",
        "systolic": 129,
        "diastolic": 79,
        "pulse": 68
       },
       {
        "takenAt": "2026-03-03T20:11:20+00:00",
        "systolic": 128,
        "diastolic": 80,
        "pulse": 67
       }
      ],
      "unit": "mmHg",
      "entry": "transferred"
     }
    }
   ]
  }
 },
 "withdrawSession withdrawn": {
  "status": 200,
  "type": "application/json",
  "value": {
   "outcome": "withdrawn",
   "session": "8e37d519-fea8-52e1-9fe1-16542f87e1e0",
   "source": "harbour-app",
   "id": "hw-1002-006",
   "version": 2,
   "withdrawn": true,
   "sha256": "2898867598a5f6703562a0d46ff3186bd751dcdd6a9c9cd1cbaeb9c86dc3e845",
   "receivedAt": "2026-03-20T12:00:00Z",
   "enrolled": true,
   "findings": []
  }
 },
 "closePeriod now": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": "e82f5974-fbdf-55dd-bffc-644b5d056903",
   "source": "harbour-app",
   "subject": "HW-1002",
   "protocol": "nice-ng136-home",
   "firstDay": "2026-03-02",
   "lastDay": "2026-03-04",
   "state": "closed",
   "revision": 1,
   "due": "2026-03-05T12:00:00Z",
   "closedNow": true,
   "issuedNow": true
  }
 },
 "readAverage newest": {
  "status": 200,
  "type": "application/json",
  "value": {
   "revision": 1,
   "destination": "lantern-bay",
   "issued": "2026-03-20T12:00:00Z",
   "status": "final",
   "protocol": {
    "id": "nice-ng136-home",
    "title": "NICE NG136 home monitoring: 4 to 7 days, twice a day, first day left out",
    "citation": {
     "text": "NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023, recommendations 1.2.7 and 1.2.8",
     "url": "https://www.nice.org.uk/guidance/ng136"
    },
    "evidence": "read",
    "settledHere": [
     "The source says ideally morning and evening and states no hours: the local day is split at noon.",
     "The source does not say which day is the first: it is the first local day of the period with a reading taken at home, so a later start does not escape the rule, and an evening start makes that evening the first day.",
     "The source states no minimum count of readings: only the days of measuring, the first included, are held against its minimum of four.",
     "The source does not say what to do with a sitting of one reading or of more than two, or with two sittings in one window: every reading counts.",
     "The source does not say what to do about missed days or sittings: nothing is made up for them; the days of measuring are counted, and a shorter series is marked, not refused.",
     "The source speaks of the average of all the remaining measurements: each reading weighs the same, also where sittings are unequal.",
     "The source prints ranges in whole numbers, 135/85 to 149/94 and from 150/95: the unrounded mean is compared with the lower bound of each, so that 149.5 is below the second.",
     "The source says that the person is seated: a reading said to have been taken standing or lying is left out, and one whose position is not stated counts.",
     "Days belong to the time zone of the patient, and each reading falls on its own day."
    ],
    "windowsAveraged": "together"
   },
   "period": {
    "firstDay": "2026-03-02",
    "lastDay": "2026-03-04",
    "zone": "Europe/London"
   },
   "decimals": 1,
   "arm": "left",
   "site": "upper-arm",
   "mean": {
    "systolicMmHg": 132,
    "diastolicMmHg": 82.5,
    "meanArterialMmHg": 99,
    "pulsePerMinute": 70.5,
    "readings": 4
   },
   "byWindow": [
    {
     "window": "morning",
     "systolicMmHg": 132,
     "diastolicMmHg": 82.5,
     "meanArterialMmHg": 99,
     "pulsePerMinute": 70.5,
     "readings": 4,
     "labels": []
    }
   ],
   "windowsWithout": [
    "evening"
   ],
   "readings": {
    "used": 4,
    "received": 10
   },
   "leftOut": [
    {
     "session": "hw-1002-001",
     "reading": 1,
     "day": "2026-03-02",
     "reason": "first-day",
     "text": "Taken on the first days of measuring."
    },
    {
     "session": "hw-1002-001",
     "reading": 2,
     "day": "2026-03-02",
     "reason": "first-day",
     "text": "Taken on the first days of measuring."
    },
    {
     "session": "hw-1002-004",
     "reading": 1,
     "day": "2026-03-03",
     "reason": "other-position",
     "text": "Taken standing or lying."
    },
    {
     "session": "hw-1002-004",
     "reading": 2,
     "day": "2026-03-03",
     "reason": "other-position",
     "text": "Taken standing or lying."
    },
    {
     "session": "hw-1002-006",
     "reading": 1,
     "day": "2026-03-04",
     "reason": "withdrawn",
     "text": "Taken back by its source."
    },
    {
     "session": "hw-1002-006",
     "reading": 2,
     "day": "2026-03-04",
     "reason": "withdrawn",
     "text": "Taken back by its source."
    }
   ],
   "leftOutRules": [
    {
     "reason": "first-day",
     "text": "Taken on the first day of measuring. The rule leaves the first day out.",
     "readings": 2
    },
    {
     "reason": "other-position",
     "text": "Said to have been taken lying. The rule averages readings taken sitting.",
     "readings": 2
    },
    {
     "reason": "withdrawn",
     "text": "Taken back by its source. Rule of this gateway: what was withdrawn is listed and not averaged.",
     "readings": 2
    }
   ],
   "sufficiency": {
    "daysUsed": 2,
    "daysMeasured": 3,
    "leastDays": 4,
    "enoughDays": false,
    "readingsUsed": 4,
    "enoughReadings": true
   },
   "adherence": {
    "sittingsAsked": 6,
    "sittingsHeld": 4,
    "sittingsShort": 0,
    "daysWithout": []
   },
   "labels": [
    {
     "thresholdSet": "nice-ng136-home",
     "title": "NICE NG136 home average",
     "label": "below 135/85"
    }
   ],
   "sensitivity": {
    "flaggedReadings": 0,
    "flaggedFor": [],
    "mean": {
     "systolicMmHg": 132,
     "diastolicMmHg": 82.5,
     "meanArterialMmHg": 99,
     "pulsePerMinute": 70.5,
     "readings": 4
    },
    "labels": [
     {
      "thresholdSet": "nice-ng136-home",
      "title": "NICE NG136 home average",
      "label": "below 135/85"
     }
    ]
   },
   "excludedByPolicy": [],
   "statistics": {
    "systolic": {
     "sd": {
      "readings": 1.8,
      "sittings": 0.7,
      "days": 0.7
     },
     "cv": {
      "readings": 1.4,
      "sittings": 0.5,
      "days": 0.5
     },
     "arv": {
      "readings": 2.7,
      "sittings": 1,
      "days": 1
     },
     "interval": {
      "low": 125.6,
      "high": 138.4,
      "days": 2
     },
     "dayOneEffect": 19,
     "firstReadingEffect": 3,
     "withinSittingSd": 2.1,
     "repeatability": 5.9
    },
    "diastolic": {
     "sd": {
      "readings": 1.3,
      "sittings": 0.7,
      "days": 0.7
     },
     "cv": {
      "readings": 1.6,
      "sittings": 0.9,
      "days": 0.9
     },
     "arv": {
      "readings": 1.7,
      "sittings": 1,
      "days": 1
     },
     "interval": {
      "low": 76.1,
      "high": 88.9,
      "days": 2
     },
     "dayOneEffect": 4,
     "firstReadingEffect": 2,
     "withinSittingSd": 1.4,
     "repeatability": 3.9
    }
   },
   "integrity": [],
   "clinic": {
    "correspondence": [
     {
      "citation": "acc-aha-2017-correspondence",
      "office": [
       130,
       80
      ],
      "home": [
       130,
       80
      ],
      "day": [
       130,
       80
      ],
      "night": [
       110,
       65
      ],
      "twentyFourHours": [
       125,
       75
      ],
      "source": "ACC/AHA guideline for high blood pressure in adults, 2017, doi:10.1161/HYP.0000000000000065, corresponding values of clinic, home, daytime, night-time and 24-hour measurements; the same in table 7 of the AHA/ACC guideline of 2025",
      "evidence": "read"
     }
    ],
    "patterns": []
   },
   "attention": [],
   "caution": "This is a summary of readings taken outside the clinic, not a diagnosis, and nobody watches it for emergencies. Local practice and licensed clinicians decide what follows from it."
  }
 },
 "readBundle newest": {
  "status": 200,
  "type": "application/fhir+json"
 },
 "listAverages all": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "revision": 1,
     "destination": "lantern-bay",
     "issued": "2026-03-20T12:00:00Z",
     "status": "final"
    }
   ]
  }
 },
 "readIssuedAverage first": {
  "status": 200,
  "type": "application/json",
  "value": {
   "revision": 1,
   "destination": "lantern-bay",
   "issued": "2026-03-20T12:00:00Z",
   "status": "final",
   "protocol": {
    "id": "nice-ng136-home",
    "title": "NICE NG136 home monitoring: 4 to 7 days, twice a day, first day left out",
    "citation": {
     "text": "NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023, recommendations 1.2.7 and 1.2.8",
     "url": "https://www.nice.org.uk/guidance/ng136"
    },
    "evidence": "read",
    "settledHere": [
     "The source says ideally morning and evening and states no hours: the local day is split at noon.",
     "The source does not say which day is the first: it is the first local day of the period with a reading taken at home, so a later start does not escape the rule, and an evening start makes that evening the first day.",
     "The source states no minimum count of readings: only the days of measuring, the first included, are held against its minimum of four.",
     "The source does not say what to do with a sitting of one reading or of more than two, or with two sittings in one window: every reading counts.",
     "The source does not say what to do about missed days or sittings: nothing is made up for them; the days of measuring are counted, and a shorter series is marked, not refused.",
     "The source speaks of the average of all the remaining measurements: each reading weighs the same, also where sittings are unequal.",
     "The source prints ranges in whole numbers, 135/85 to 149/94 and from 150/95: the unrounded mean is compared with the lower bound of each, so that 149.5 is below the second.",
     "The source says that the person is seated: a reading said to have been taken standing or lying is left out, and one whose position is not stated counts.",
     "Days belong to the time zone of the patient, and each reading falls on its own day."
    ],
    "windowsAveraged": "together"
   },
   "period": {
    "firstDay": "2026-03-02",
    "lastDay": "2026-03-04",
    "zone": "Europe/London"
   },
   "decimals": 1,
   "arm": "left",
   "site": "upper-arm",
   "mean": {
    "systolicMmHg": 132,
    "diastolicMmHg": 82.5,
    "meanArterialMmHg": 99,
    "pulsePerMinute": 70.5,
    "readings": 4
   },
   "byWindow": [
    {
     "window": "morning",
     "systolicMmHg": 132,
     "diastolicMmHg": 82.5,
     "meanArterialMmHg": 99,
     "pulsePerMinute": 70.5,
     "readings": 4,
     "labels": []
    }
   ],
   "windowsWithout": [
    "evening"
   ],
   "readings": {
    "used": 4,
    "received": 10
   },
   "leftOut": [
    {
     "session": "hw-1002-001",
     "reading": 1,
     "day": "2026-03-02",
     "reason": "first-day",
     "text": "Taken on the first days of measuring."
    },
    {
     "session": "hw-1002-001",
     "reading": 2,
     "day": "2026-03-02",
     "reason": "first-day",
     "text": "Taken on the first days of measuring."
    },
    {
     "session": "hw-1002-004",
     "reading": 1,
     "day": "2026-03-03",
     "reason": "other-position",
     "text": "Taken standing or lying."
    },
    {
     "session": "hw-1002-004",
     "reading": 2,
     "day": "2026-03-03",
     "reason": "other-position",
     "text": "Taken standing or lying."
    },
    {
     "session": "hw-1002-006",
     "reading": 1,
     "day": "2026-03-04",
     "reason": "withdrawn",
     "text": "Taken back by its source."
    },
    {
     "session": "hw-1002-006",
     "reading": 2,
     "day": "2026-03-04",
     "reason": "withdrawn",
     "text": "Taken back by its source."
    }
   ],
   "leftOutRules": [
    {
     "reason": "first-day",
     "text": "Taken on the first day of measuring. The rule leaves the first day out.",
     "readings": 2
    },
    {
     "reason": "other-position",
     "text": "Said to have been taken lying. The rule averages readings taken sitting.",
     "readings": 2
    },
    {
     "reason": "withdrawn",
     "text": "Taken back by its source. Rule of this gateway: what was withdrawn is listed and not averaged.",
     "readings": 2
    }
   ],
   "sufficiency": {
    "daysUsed": 2,
    "daysMeasured": 3,
    "leastDays": 4,
    "enoughDays": false,
    "readingsUsed": 4,
    "enoughReadings": true
   },
   "adherence": {
    "sittingsAsked": 6,
    "sittingsHeld": 4,
    "sittingsShort": 0,
    "daysWithout": []
   },
   "labels": [
    {
     "thresholdSet": "nice-ng136-home",
     "title": "NICE NG136 home average",
     "label": "below 135/85"
    }
   ],
   "sensitivity": {
    "flaggedReadings": 0,
    "flaggedFor": [],
    "mean": {
     "systolicMmHg": 132,
     "diastolicMmHg": 82.5,
     "meanArterialMmHg": 99,
     "pulsePerMinute": 70.5,
     "readings": 4
    },
    "labels": [
     {
      "thresholdSet": "nice-ng136-home",
      "title": "NICE NG136 home average",
      "label": "below 135/85"
     }
    ]
   },
   "excludedByPolicy": [],
   "statistics": {
    "systolic": {
     "sd": {
      "readings": 1.8,
      "sittings": 0.7,
      "days": 0.7
     },
     "cv": {
      "readings": 1.4,
      "sittings": 0.5,
      "days": 0.5
     },
     "arv": {
      "readings": 2.7,
      "sittings": 1,
      "days": 1
     },
     "interval": {
      "low": 125.6,
      "high": 138.4,
      "days": 2
     },
     "dayOneEffect": 19,
     "firstReadingEffect": 3,
     "withinSittingSd": 2.1,
     "repeatability": 5.9
    },
    "diastolic": {
     "sd": {
      "readings": 1.3,
      "sittings": 0.7,
      "days": 0.7
     },
     "cv": {
      "readings": 1.6,
      "sittings": 0.9,
      "days": 0.9
     },
     "arv": {
      "readings": 1.7,
      "sittings": 1,
      "days": 1
     },
     "interval": {
      "low": 76.1,
      "high": 88.9,
      "days": 2
     },
     "dayOneEffect": 4,
     "firstReadingEffect": 2,
     "withinSittingSd": 1.4,
     "repeatability": 3.9
    }
   },
   "integrity": [],
   "clinic": {
    "correspondence": [
     {
      "citation": "acc-aha-2017-correspondence",
      "office": [
       130,
       80
      ],
      "home": [
       130,
       80
      ],
      "day": [
       130,
       80
      ],
      "night": [
       110,
       65
      ],
      "twentyFourHours": [
       125,
       75
      ],
      "source": "ACC/AHA guideline for high blood pressure in adults, 2017, doi:10.1161/HYP.0000000000000065, corresponding values of clinic, home, daytime, night-time and 24-hour measurements; the same in table 7 of the AHA/ACC guideline of 2025",
      "evidence": "read"
     }
    ],
    "patterns": []
   },
   "attention": [],
   "caution": "This is a summary of readings taken outside the clinic, not a diagnosis, and nobody watches it for emergencies. Local practice and licensed clinicians decide what follows from it."
  }
 },
 "readIssuedBundle first": {
  "status": 200,
  "type": "application/fhir+json"
 },
 "comparePeriod all": {
  "status": 200,
  "type": "application/json"
 },
 "sweepAverages three-days": {
  "status": 200,
  "type": "application/x-ndjson",
  "value": "{\"source\":\"harbour-app\",\"subject\":\"HW-1002\",\"received\":10,\"used\":4,\"days\":2,\"mean\":{\"systolicMmHg\":132,\"diastolicMmHg\":82.5,\"readings\":4},\"byWindow\":[{\"window\":\"morning\",\"systolicMmHg\":132,\"diastolicMmHg\":82.5,\"readings\":4}]}\n{\"summary\":{\"people\":1,\"linked\":0}}\n"
 },
 "listDeliveries waiting": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "id": 1,
     "destination": "lantern-bay",
     "source": "harbour-app",
     "subject": "HW-1002",
     "kind": "session",
     "urgent": false,
     "about": "3fd4369f-16e7-5d19-aae7-5e9be64a1c18",
     "state": "waiting",
     "attempts": 0,
     "queued": "2026-03-20T12:00:00Z",
     "due": "2026-03-20T12:00:00Z",
     "uncertain": false
    },
    {
     "id": 2,
     "destination": "lantern-bay",
     "source": "harbour-app",
     "subject": "HW-1002",
     "kind": "session",
     "urgent": false,
     "about": "99e33b87-bdc4-5f58-a0b2-0594b9da5753",
     "state": "waiting",
     "attempts": 0,
     "queued": "2026-03-20T12:00:00Z",
     "due": "2026-03-20T12:00:00Z",
     "uncertain": false
    }
   ],
   "next": "Mg"
  }
 },
 "previewDelivery one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": 1,
   "destination": "lantern-bay",
   "kind": "fhir",
   "bundle": {
    "resourceType": "Bundle",
    "type": "transaction",
    "entry": [
     {
      "fullUrl": "urn:uuid:756d789e-40f4-5155-bfd5-a94fef124797",
      "resource": {
       "resourceType": "Observation",
       "meta": {
        "profile": [
         "http://hl7.org/fhir/StructureDefinition/bp"
        ],
        "security": [
         {
          "system": "http://terminology.hl7.org/CodeSystem/v3-ObservationValue",
          "code": "DEVAST",
          "display": "device asserted"
         }
        ]
       },
       "identifier": [
        {
         "system": "https://home-bp-gateway.example/fhir/reading",
         "value": "756d789e-40f4-5155-bfd5-a94fef124797"
        }
       ],
       "status": "final",
       "category": [
        {
         "coding": [
          {
           "system": "http://terminology.hl7.org/CodeSystem/observation-category",
           "code": "vital-signs",
           "display": "Vital Signs"
          }
         ]
        }
       ],
       "code": {
        "coding": [
         {
          "system": "http://loinc.org",
          "code": "85354-9",
          "display": "Blood pressure panel with all children optional"
         }
        ],
        "text": "Blood pressure panel with all children optional"
       },
       "subject": {
        "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
        "type": "Patient"
       },
       "effectiveDateTime": "2026-03-02T06:50:32+00:00",
       "performer": [
        {
         "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
         "type": "Patient"
        }
       ],
       "issued": "2026-03-20T12:00:00Z",
       "extension": [
        {
         "url": "http://hl7.org/fhir/StructureDefinition/observation-bodyPosition",
         "valueCodeableConcept": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "LA11868-9",
            "display": "Sitting"
           }
          ],
          "text": "Sitting"
         }
        },
        {
         "url": "https://home-bp-gateway.example/fhir/StructureDefinition/measurement-setting",
         "valueCode": "home"
        }
       ],
       "bodySite": {
        "text": "Left upper arm"
       },
       "component": [
        {
         "code": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "8480-6",
            "display": "Systolic blood pressure"
           }
          ],
          "text": "Systolic blood pressure"
         },
         "valueQuantity": {
          "value": 150,
          "unit": "mmHg",
          "system": "http://unitsofmeasure.org",
          "code": "mm[Hg]"
         }
        },
        {
         "code": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "8462-4",
            "display": "Diastolic blood pressure"
           }
          ],
          "text": "Diastolic blood pressure"
         },
         "valueQuantity": {
          "value": 87,
          "unit": "mmHg",
          "system": "http://unitsofmeasure.org",
          "code": "mm[Hg]"
         }
        },
        {
         "code": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "8361-8",
            "display": "Body position with respect to gravity"
           }
          ],
          "text": "Body position with respect to gravity"
         },
         "valueCodeableConcept": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "LA11868-9",
            "display": "Sitting"
           }
          ],
          "text": "Sitting"
         }
        }
       ]
      },
      "request": {
       "method": "POST",
       "url": "Observation",
       "ifNoneExist": "identifier=https://home-bp-gateway.example/fhir/reading|756d789e-40f4-5155-bfd5-a94fef124797"
      }
     },
     {
      "fullUrl": "urn:uuid:a9adacce-8830-56df-bc64-10d0e2dd04a5",
      "resource": {
       "resourceType": "Observation",
       "meta": {
        "profile": [
         "http://hl7.org/fhir/StructureDefinition/heartrate"
        ],
        "security": [
         {
          "system": "http://terminology.hl7.org/CodeSystem/v3-ObservationValue",
          "code": "DEVAST",
          "display": "device asserted"
         }
        ]
       },
       "identifier": [
        {
         "system": "https://home-bp-gateway.example/fhir/pulse",
         "value": "a9adacce-8830-56df-bc64-10d0e2dd04a5"
        }
       ],
       "status": "final",
       "category": [
        {
         "coding": [
          {
           "system": "http://terminology.hl7.org/CodeSystem/observation-category",
           "code": "vital-signs",
           "display": "Vital Signs"
          }
         ]
        }
       ],
       "code": {
        "coding": [
         {
          "system": "http://loinc.org",
          "code": "8867-4",
          "display": "Heart rate"
         }
        ],
        "text": "Heart rate"
       },
       "subject": {
        "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
        "type": "Patient"
       },
       "effectiveDateTime": "2026-03-02T06:50:32+00:00",
       "performer": [
        {
         "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
         "type": "Patient"
        }
       ],
       "issued": "2026-03-20T12:00:00Z",
       "valueQuantity": {
        "value": 78,
        "unit": "beats/minute",
        "system": "http://unitsofmeasure.org",
        "code": "/min"
       }
      },
      "request": {
       "method": "POST",
       "url": "Observation",
       "ifNoneExist": "identifier=https://home-bp-gateway.example/fhir/pulse|a9adacce-8830-56df-bc64-10d0e2dd04a5"
      }
     },
     {
      "fullUrl": "urn:uuid:faef97e3-f056-5b6f-977f-3bc1d2ac11f9",
      "resource": {
       "resourceType": "Observation",
       "meta": {
        "profile": [
         "http://hl7.org/fhir/StructureDefinition/bp"
        ],
        "security": [
         {
          "system": "http://terminology.hl7.org/CodeSystem/v3-ObservationValue",
          "code": "DEVAST",
          "display": "device asserted"
         }
        ]
       },
       "identifier": [
        {
         "system": "https://home-bp-gateway.example/fhir/reading",
         "value": "faef97e3-f056-5b6f-977f-3bc1d2ac11f9"
        }
       ],
       "status": "final",
       "category": [
        {
         "coding": [
          {
           "system": "http://terminology.hl7.org/CodeSystem/observation-category",
           "code": "vital-signs",
           "display": "Vital Signs"
          }
         ]
        }
       ],
       "code": {
        "coding": [
         {
          "system": "http://loinc.org",
          "code": "85354-9",
          "display": "Blood pressure panel with all children optional"
         }
        ],
        "text": "Blood pressure panel with all children optional"
       },
       "subject": {
        "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
        "type": "Patient"
       },
       "effectiveDateTime": "2026-03-02T06:51:51+00:00",
       "performer": [
        {
         "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
         "type": "Patient"
        }
       ],
       "issued": "2026-03-20T12:00:00Z",
       "extension": [
        {
         "url": "http://hl7.org/fhir/StructureDefinition/observation-bodyPosition",
         "valueCodeableConcept": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "LA11868-9",
            "display": "Sitting"
           }
          ],
          "text": "Sitting"
         }
        },
        {
         "url": "https://home-bp-gateway.example/fhir/StructureDefinition/measurement-setting",
         "valueCode": "home"
        }
       ],
       "bodySite": {
        "text": "Left upper arm"
       },
       "component": [
        {
         "code": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "8480-6",
            "display": "Systolic blood pressure"
           }
          ],
          "text": "Systolic blood pressure"
         },
         "valueQuantity": {
          "value": 152,
          "unit": "mmHg",
          "system": "http://unitsofmeasure.org",
          "code": "mm[Hg]"
         }
        },
        {
         "code": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "8462-4",
            "display": "Diastolic blood pressure"
           }
          ],
          "text": "Diastolic blood pressure"
         },
         "valueQuantity": {
          "value": 86,
          "unit": "mmHg",
          "system": "http://unitsofmeasure.org",
          "code": "mm[Hg]"
         }
        },
        {
         "code": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "8361-8",
            "display": "Body position with respect to gravity"
           }
          ],
          "text": "Body position with respect to gravity"
         },
         "valueCodeableConcept": {
          "coding": [
           {
            "system": "http://loinc.org",
            "code": "LA11868-9",
            "display": "Sitting"
           }
          ],
          "text": "Sitting"
         }
        }
       ]
      },
      "request": {
       "method": "POST",
       "url": "Observation",
       "ifNoneExist": "identifier=https://home-bp-gateway.example/fhir/reading|faef97e3-f056-5b6f-977f-3bc1d2ac11f9"
      }
     },
     {
      "fullUrl": "urn:uuid:923e4941-13a7-5cfa-bc0c-f00f177adc6d",
      "resource": {
       "resourceType": "Observation",
       "meta": {
        "profile": [
         "http://hl7.org/fhir/StructureDefinition/heartrate"
        ],
        "security": [
         {
          "system": "http://terminology.hl7.org/CodeSystem/v3-ObservationValue",
          "code": "DEVAST",
          "display": "device asserted"
         }
        ]
       },
       "identifier": [
        {
         "system": "https://home-bp-gateway.example/fhir/pulse",
         "value": "923e4941-13a7-5cfa-bc0c-f00f177adc6d"
        }
       ],
       "status": "final",
       "category": [
        {
         "coding": [
          {
           "system": "http://terminology.hl7.org/CodeSystem/observation-category",
           "code": "vital-signs",
           "display": "Vital Signs"
          }
         ]
        }
       ],
       "code": {
        "coding": [
         {
          "system": "http://loinc.org",
          "code": "8867-4",
          "display": "Heart rate"
         }
        ],
        "text": "Heart rate"
       },
       "subject": {
        "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
        "type": "Patient"
       },
       "effectiveDateTime": "2026-03-02T06:51:51+00:00",
       "performer": [
        {
         "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
         "type": "Patient"
        }
       ],
       "issued": "2026-03-20T12:00:00Z",
       "valueQuantity": {
        "value": 70,
        "unit": "beats/minute",
        "system": "http://unitsofmeasure.org",
        "code": "/min"
       }
      },
      "request": {
       "method": "POST",
       "url": "Observation",
       "ifNoneExist": "identifier=https://home-bp-gateway.example/fhir/pulse|923e4941-13a7-5cfa-bc0c-f00f177adc6d"
      }
     },
     {
      "fullUrl": "urn:uuid:8f65c91b-78c2-5bbc-a03c-b22c0ce5956a",
      "resource": {
       "resourceType": "Provenance",
       "meta": {
        "tag": [
         {
          "system": "https://home-bp-gateway.example/fhir/provenance",
          "code": "8f65c91b-78c2-5bbc-a03c-b22c0ce5956a"
         }
        ]
       },
       "target": [
        {
         "reference": "urn:uuid:756d789e-40f4-5155-bfd5-a94fef124797"
        },
        {
         "reference": "urn:uuid:a9adacce-8830-56df-bc64-10d0e2dd04a5"
        },
        {
         "reference": "urn:uuid:faef97e3-f056-5b6f-977f-3bc1d2ac11f9"
        },
        {
         "reference": "urn:uuid:923e4941-13a7-5cfa-bc0c-f00f177adc6d"
        }
       ],
       "recorded": "2026-03-20T12:00:00Z",
       "activity": {
        "coding": [
         {
          "system": "http://terminology.hl7.org/CodeSystem/v3-DataOperation",
          "code": "CREATE",
          "display": "create"
         }
        ]
       },
       "agent": [
        {
         "type": {
          "coding": [
           {
            "system": "http://terminology.hl7.org/CodeSystem/provenance-participant-type",
            "code": "assembler",
            "display": "Assembler"
           }
          ]
         },
         "who": {
          "type": "Device",
          "identifier": {
           "system": "https://home-bp-gateway.example/fhir/gateway",
           "value": "home-bp-gateway"
          },
          "display": "Home blood pressure gateway"
         },
         "onBehalfOf": {
          "reference": "Patient?identifier=https%3A%2F%2Flantern-bay.example%2Fpatient-number|LB-20433",
          "type": "Patient"
         }
        }
       ],
       "entity": [
        {
         "extension": [
          {
           "url": "https://home-bp-gateway.example/fhir/StructureDefinition/record-sha256",
           "valueString": "d9858655230f095e8aed8d2cff573ae59cdbe194708b49e1013ad58729856b9d"
          }
         ],
         "role": "source",
         "what": {
          "identifier": {
           "system": "https://home-bp-gateway.example/fhir/session",
           "value": "3fd4369f-16e7-5d19-aae7-5e9be64a1c18"
          },
          "display": "Session record received from harbour-app"
         }
        }
       ]
      },
      "request": {
       "method": "POST",
       "url": "Provenance",
       "ifNoneExist": "_tag=https://home-bp-gateway.example/fhir/provenance|8f65c91b-78c2-5bbc-a03c-b22c0ce5956a"
      }
     }
    ]
   },
   "way": {
    "rung": "search-first",
    "because": [
     "transaction: there is no answer of the server yet to rest it on.",
     "conditional-create: there is no answer of the server yet to rest it on.",
     "own-id: there is no answer of the server yet to rest it on.",
     "search-first: there is no answer of the server yet, and nothing of it is taken on trust."
    ],
    "leftOut": [],
    "differs": [
     "The patient is searched for first, and the record that is found is named in place of the conditional reference."
    ],
    "unreached": {
     "code": "CLINIC_UNREACHABLE",
     "meaning": "The clinic’s server did not answer.",
     "remedy": "None needed: the entry is tried again."
    }
   }
  }
 },
 "readDelivery one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": 1,
   "destination": "lantern-bay",
   "source": "harbour-app",
   "subject": "HW-1002",
   "kind": "session",
   "urgent": false,
   "about": "3fd4369f-16e7-5d19-aae7-5e9be64a1c18",
   "state": "given-up",
   "attempts": 1,
   "queued": "2026-03-20T12:00:00Z",
   "uncertain": false,
   "problem": {
    "code": "CLINIC_REFUSED",
    "meaning": "The clinic’s server will not take the entry as it is.",
    "remedy": "Read the delivery, mend, and retry it."
   }
  }
 },
 "retryDelivery one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": 1,
   "state": "waiting"
  }
 },
 "retryDelivery waiting": {
  "status": 409,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/OTHER_STATE",
   "title": "The delivery is in a state in which this cannot be done.",
   "status": 409,
   "detail": "path.id: expected a delivery that is given up or parked, and this one is waiting. Wait: it is tried by itself when its turn comes.",
   "code": "OTHER_STATE",
   "issues": [
    {
     "at": "path.id",
     "expected": "a delivery that is given up or parked, and this one is waiting",
     "remedy": "Wait: it is tried by itself when its turn comes.",
     "code": "OTHER_STATE"
    }
   ],
   "state": "waiting"
  }
 },
 "retryDeliveries given-up": {
  "status": 200,
  "type": "application/json",
  "value": {
   "retried": 1
  }
 },
 "confirmDelivery one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": 1,
   "state": "settled"
  }
 },
 "confirmDelivery settled": {
  "status": 409,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/OTHER_STATE",
   "title": "The delivery is in a state in which this cannot be done.",
   "status": 409,
   "detail": "path.id: expected a delivery that is given up or parked, and this one is settled. None needed: the clinic has it.",
   "code": "OTHER_STATE",
   "issues": [
    {
     "at": "path.id",
     "expected": "a delivery that is given up or parked, and this one is settled",
     "remedy": "None needed: the clinic has it.",
     "code": "OTHER_STATE"
    }
   ],
   "state": "settled"
  }
 },
 "listDestinations all": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "name": "lantern-bay",
     "kind": "fhir",
     "resting": false,
     "route": {
      "rung": "search-first",
      "because": [
       "transaction: there is no answer of the server yet to rest it on.",
       "conditional-create: there is no answer of the server yet to rest it on.",
       "own-id: there is no answer of the server yet to rest it on.",
       "search-first: there is no answer of the server yet, and nothing of it is taken on trust."
      ],
      "used": []
     },
     "behind": 7,
     "next": "2026-03-20T12:00:00Z",
     "stuck": [],
     "entries": {
      "waiting": 8,
      "claimed": 0,
      "settled": 1,
      "parked": 0,
      "given-up": 0
     },
     "oldest": {
      "queued": "2026-03-20T12:00:00Z",
      "seconds": 0
     }
    }
   ]
  }
 },
 "resumeDestination one": {
  "status": 200,
  "type": "application/json",
  "value": {
   "name": "lantern-bay",
   "resumed": false
  }
 },
 "readAudit first": {
  "status": 200,
  "type": "application/json",
  "value": {
   "items": [
    {
     "seq": 1,
     "at": "2026-03-20T12:00:00Z",
     "actor": "operator",
     "action": "source-registered",
     "about": "harbour-app",
     "outcome": "done",
     "detail": {},
     "hash": "55742cb6e6b1a8f6b2403d3167845f94d6ebbbf50fa7835de78e4cba19756f28"
    },
    {
     "seq": 2,
     "at": "2026-03-20T12:00:00Z",
     "actor": "operator",
     "action": "source-registered",
     "about": "harbour-app",
     "outcome": "done",
     "detail": {},
     "hash": "fd54f95f2d5230549fbe36fe482bba86b6be072be868647f443fe374fb74f96b"
    }
   ],
   "next": "Mg"
  }
 },
 "verifyAudit intact": {
  "status": 200,
  "type": "application/json",
  "value": {
   "intact": true,
   "rows": 39,
   "hash": "5e884898da2804715e884898da2804715e884898da2804715e884898da280471"
  }
 },
 "withdrawPeriod averaged": {
  "status": 200,
  "type": "application/json",
  "value": {
   "id": "e82f5974-fbdf-55dd-bffc-644b5d056903",
   "source": "harbour-app",
   "subject": "HW-1002",
   "protocol": "nice-ng136-home",
   "firstDay": "2026-03-02",
   "lastDay": "2026-03-04",
   "state": "withdrawn",
   "revision": 2,
   "due": "2026-03-05T12:00:00Z",
   "withdrawnNow": true,
   "queued": 1
  }
 },
 "withdrawPeriod unknown": {
  "status": 404,
  "type": "application/problem+json",
  "value": {
   "type": "https://home-bp-gateway.example/fhir/problems/NOT_FOUND",
   "title": "There is nothing here under that id.",
   "status": 404,
   "detail": "path.id: expected the id of a period. Check the id.",
   "code": "NOT_FOUND",
   "issues": [
    {
     "at": "path.id",
     "expected": "the id of a period",
     "remedy": "Check the id.",
     "code": "NOT_FOUND"
    }
   ]
  }
 },
 "readCapabilities all": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "CapabilityStatement",
   "url": "https://home-bp-gateway.example/fhir/CapabilityStatement/gateway",
   "version": "0.1.0",
   "name": "HomeBloodPressureGateway",
   "title": "Home blood pressure gateway",
   "status": "active",
   "date": "2026-03-20T12:00:00Z",
   "description": "Receives blood pressure measured at home and sends validated averages to a clinic’s server. This endpoint validates resources; it does not diagnose and is not an emergency service.",
   "kind": "instance",
   "instantiates": [
    "https://home-bp-gateway.example/fhir/CapabilityStatement/home-bp-gateway"
   ],
   "software": {
    "name": "home-bp-gateway",
    "version": "0.1.0"
   },
   "implementation": {
    "description": "A gateway between home apps and a clinic’s FHIR server"
   },
   "fhirVersion": "4.0.1",
   "format": [
    "application/fhir+json",
    "json"
   ],
   "rest": [
    {
     "mode": "server",
     "documentation": "Validates what it is handed and keeps none of it. Serves its own definitions.",
     "resource": [
      {
       "type": "Observation",
       "supportedProfile": [
        "http://hl7.org/fhir/StructureDefinition/vitalsigns",
        "http://hl7.org/fhir/StructureDefinition/bp",
        "http://hl7.org/fhir/StructureDefinition/heartrate",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-vital-signs",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-blood-pressure",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-heart-rate",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure",
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-reading",
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-pulse",
        "https://home-bp-gateway.example/fhir/StructureDefinition/monitor-status",
        "https://home-bp-gateway.example/fhir/StructureDefinition/period-average",
        "https://home-bp-gateway.example/fhir/StructureDefinition/recording-average",
        "https://home-bp-gateway.example/fhir/StructureDefinition/attention"
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Bundle",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Patient",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Device",
       "supportedProfile": [
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-monitor"
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Provenance",
       "supportedProfile": [
        "https://home-bp-gateway.example/fhir/StructureDefinition/submission-provenance",
        "https://home-bp-gateway.example/fhir/StructureDefinition/average-provenance"
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "OperationOutcome",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "AuditEvent",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "CapabilityStatement",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "CodeSystem",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "StructureDefinition",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "ValueSet",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      }
     ],
     "operation": [
      {
       "name": "validate",
       "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
      }
     ]
    }
   ]
  }
 },
 "validateResource pulse": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "OperationOutcome",
   "issue": [
    {
     "severity": "warning",
     "code": "invariant",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "INVARIANT",
        "display": "An R4 invariant does not hold."
       }
      ],
      "text": "Expected a narrative, for readers who do not know the resource. Add text.div where a person will read it. R4 has it as best practice: a resource is valid without. Rule: dom-6."
     },
     "expression": [
      "Observation"
     ]
    },
    {
     "severity": "error",
     "code": "required",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "PROFILE",
        "display": "A profile rule does not hold."
       }
      ],
      "text": "Expected one category with vital-signs of http://terminology.hl7.org/CodeSystem/observation-category. Add what is missing. Rule: vitalsigns."
     },
     "expression": [
      "Observation.category"
     ]
    }
   ]
  }
 },
 "validateResource wrong": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "OperationOutcome",
   "issue": [
    {
     "severity": "error",
     "code": "code-invalid",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "STRUCTURE",
        "display": "The resource breaks the R4 structure."
       }
      ],
      "text": "Expected one of registered, preliminary, final, amended, corrected, cancelled, entered-in-error, unknown. Use one of these words, in this spelling."
     },
     "expression": [
      "Observation.status"
     ]
    },
    {
     "severity": "warning",
     "code": "invariant",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "INVARIANT",
        "display": "An R4 invariant does not hold."
       }
      ],
      "text": "Expected a narrative, for readers who do not know the resource. Add text.div where a person will read it. R4 has it as best practice: a resource is valid without. Rule: dom-6."
     },
     "expression": [
      "Observation"
     ]
    },
    {
     "severity": "error",
     "code": "required",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "PROFILE",
        "display": "A profile rule does not hold."
       }
      ],
      "text": "Expected one category with vital-signs of http://terminology.hl7.org/CodeSystem/observation-category. Add what is missing. Rule: vitalsigns."
     },
     "expression": [
      "Observation.category"
     ]
    }
   ]
  }
 },
 "validateType pulse": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "OperationOutcome",
   "issue": [
    {
     "severity": "warning",
     "code": "invariant",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "INVARIANT",
        "display": "An R4 invariant does not hold."
       }
      ],
      "text": "Expected a narrative, for readers who do not know the resource. Add text.div where a person will read it. R4 has it as best practice: a resource is valid without. Rule: dom-6."
     },
     "expression": [
      "Observation"
     ]
    },
    {
     "severity": "error",
     "code": "required",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "PROFILE",
        "display": "A profile rule does not hold."
       }
      ],
      "text": "Expected one category with vital-signs of http://terminology.hl7.org/CodeSystem/observation-category. Add what is missing. Rule: vitalsigns."
     },
     "expression": [
      "Observation.category"
     ]
    }
   ]
  }
 },
 "validateInstance pulse": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "OperationOutcome",
   "issue": [
    {
     "severity": "warning",
     "code": "invariant",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "INVARIANT",
        "display": "An R4 invariant does not hold."
       }
      ],
      "text": "Expected a narrative, for readers who do not know the resource. Add text.div where a person will read it. R4 has it as best practice: a resource is valid without. Rule: dom-6."
     },
     "expression": [
      "Observation"
     ]
    },
    {
     "severity": "error",
     "code": "required",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "PROFILE",
        "display": "A profile rule does not hold."
       }
      ],
      "text": "Expected one category with vital-signs of http://terminology.hl7.org/CodeSystem/observation-category. Add what is missing. Rule: vitalsigns."
     },
     "expression": [
      "Observation.category"
     ]
    },
    {
     "severity": "information",
     "code": "informational",
     "details": {
      "coding": [
       {
        "system": "https://home-bp-gateway.example/fhir/CodeSystem/error-codes",
        "code": "NOT_SUPPORTED",
        "display": "The gateway does not judge this."
       }
      ],
      "text": "Expected a comparison with the resource that is held, which is not done here. The content is judged in full; the server that holds the resource decides on the update."
     }
    }
   ]
  }
 },
 "listCapabilityStatements all": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "Bundle",
   "type": "searchset",
   "total": 1,
   "link": [
    {
     "relation": "self",
     "url": "https://home-bp-gateway.example/fhir/CapabilityStatement"
    }
   ],
   "entry": [
    {
     "fullUrl": "https://home-bp-gateway.example/fhir/CapabilityStatement/home-bp-gateway",
     "resource": {
      "resourceType": "CapabilityStatement",
      "id": "home-bp-gateway",
      "text": {
       "status": "generated",
       "div": "<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>What the home blood pressure gateway sends and serves</p><p>As a client it posts one transaction at a time to a clinic’s server, each resource by conditional create or update under an identifier of its own, so that sending again makes nothing twice. As a server it validates resources and serves its own definitions. It does not diagnose and is not an emergency service.</p></div>"
      },
      "url": "https://home-bp-gateway.example/fhir/CapabilityStatement/home-bp-gateway",
      "version": "0.1.0",
      "name": "HomeBpGatewayCapabilities",
      "title": "What the home blood pressure gateway sends and serves",
      "status": "active",
      "experimental": false,
      "date": "2026-11-25",
      "description": "As a client it posts one transaction at a time to a clinic’s server, each resource by conditional create or update under an identifier of its own, so that sending again makes nothing twice. As a server it validates resources and serves its own definitions. It does not diagnose and is not an emergency service.",
      "kind": "capability",
      "software": {
       "name": "home-bp-gateway"
      },
      "fhirVersion": "4.0.1",
      "format": [
       "application/fhir+json",
       "json"
      ],
      "rest": [
       {
        "mode": "client",
        "documentation": "All of it in transactions. It reads nothing from the clinic’s server and searches only by what stands in them.",
        "resource": [
         {
          "type": "Observation",
          "supportedProfile": [
           "https://home-bp-gateway.example/fhir/StructureDefinition/home-reading",
           "https://home-bp-gateway.example/fhir/StructureDefinition/home-pulse",
           "https://home-bp-gateway.example/fhir/StructureDefinition/monitor-status",
           "https://home-bp-gateway.example/fhir/StructureDefinition/period-average",
           "https://home-bp-gateway.example/fhir/StructureDefinition/recording-average",
           "https://home-bp-gateway.example/fhir/StructureDefinition/attention"
          ],
          "interaction": [
           {
            "code": "create"
           },
           {
            "code": "update"
           }
          ],
          "conditionalCreate": true,
          "conditionalUpdate": true,
          "searchParam": [
           {
            "name": "identifier",
            "type": "token"
           }
          ]
         },
         {
          "type": "Device",
          "supportedProfile": [
           "https://home-bp-gateway.example/fhir/StructureDefinition/home-monitor"
          ],
          "interaction": [
           {
            "code": "create"
           }
          ],
          "conditionalCreate": true,
          "searchParam": [
           {
            "name": "identifier",
            "type": "token"
           }
          ]
         },
         {
          "type": "Provenance",
          "supportedProfile": [
           "https://home-bp-gateway.example/fhir/StructureDefinition/submission-provenance",
           "https://home-bp-gateway.example/fhir/StructureDefinition/average-provenance"
          ],
          "interaction": [
           {
            "code": "create"
           }
          ],
          "conditionalCreate": true,
          "searchParam": [
           {
            "name": "_tag",
            "type": "token"
           }
          ]
         },
         {
          "type": "Patient",
          "documentation": "Never written: the patient is named by a conditional reference that must match exactly one.",
          "searchParam": [
           {
            "name": "identifier",
            "type": "token"
           }
          ]
         }
        ],
        "interaction": [
         {
          "code": "transaction"
         }
        ]
       },
       {
        "mode": "server",
        "documentation": "Validates what it is handed and keeps none of it. Serves its own definitions.",
        "resource": [
         {
          "type": "Observation",
          "supportedProfile": [
           "http://hl7.org/fhir/StructureDefinition/vitalsigns",
           "http://hl7.org/fhir/StructureDefinition/bp",
           "http://hl7.org/fhir/StructureDefinition/heartrate",
           "http://hl7.org/fhir/us/core/StructureDefinition/us-core-vital-signs",
           "http://hl7.org/fhir/us/core/StructureDefinition/us-core-blood-pressure",
           "http://hl7.org/fhir/us/core/StructureDefinition/us-core-heart-rate",
           "http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure",
           "https://home-bp-gateway.example/fhir/StructureDefinition/home-reading",
           "https://home-bp-gateway.example/fhir/StructureDefinition/home-pulse",
           "https://home-bp-gateway.example/fhir/StructureDefinition/monitor-status",
           "https://home-bp-gateway.example/fhir/StructureDefinition/period-average",
           "https://home-bp-gateway.example/fhir/StructureDefinition/recording-average",
           "https://home-bp-gateway.example/fhir/StructureDefinition/attention"
          ],
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "Bundle",
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "Patient",
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "Device",
          "supportedProfile": [
           "https://home-bp-gateway.example/fhir/StructureDefinition/home-monitor"
          ],
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "Provenance",
          "supportedProfile": [
           "https://home-bp-gateway.example/fhir/StructureDefinition/submission-provenance",
           "https://home-bp-gateway.example/fhir/StructureDefinition/average-provenance"
          ],
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "OperationOutcome",
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "AuditEvent",
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "CapabilityStatement",
          "interaction": [
           {
            "code": "read"
           },
           {
            "code": "search-type"
           }
          ],
          "searchParam": [
           {
            "name": "url",
            "type": "uri"
           }
          ],
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "CodeSystem",
          "interaction": [
           {
            "code": "read"
           },
           {
            "code": "search-type"
           }
          ],
          "searchParam": [
           {
            "name": "url",
            "type": "uri"
           }
          ],
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "StructureDefinition",
          "interaction": [
           {
            "code": "read"
           },
           {
            "code": "search-type"
           }
          ],
          "searchParam": [
           {
            "name": "url",
            "type": "uri"
           }
          ],
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         },
         {
          "type": "ValueSet",
          "interaction": [
           {
            "code": "read"
           },
           {
            "code": "search-type"
           }
          ],
          "searchParam": [
           {
            "name": "url",
            "type": "uri"
           }
          ],
          "operation": [
           {
            "name": "validate",
            "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
           }
          ]
         }
        ],
        "operation": [
         {
          "name": "validate",
          "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
         }
        ]
       }
      ]
     },
     "search": {
      "mode": "match"
     }
    }
   ]
  }
 },
 "listCodeSystems all": {
  "status": 200,
  "type": "application/fhir+json"
 },
 "listStructureDefinitions all": {
  "status": 200,
  "type": "application/fhir+json"
 },
 "listValueSets all": {
  "status": 200,
  "type": "application/fhir+json"
 },
 "readCapabilityStatement one": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "CapabilityStatement",
   "id": "home-bp-gateway",
   "text": {
    "status": "generated",
    "div": "<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>What the home blood pressure gateway sends and serves</p><p>As a client it posts one transaction at a time to a clinic’s server, each resource by conditional create or update under an identifier of its own, so that sending again makes nothing twice. As a server it validates resources and serves its own definitions. It does not diagnose and is not an emergency service.</p></div>"
   },
   "url": "https://home-bp-gateway.example/fhir/CapabilityStatement/home-bp-gateway",
   "version": "0.1.0",
   "name": "HomeBpGatewayCapabilities",
   "title": "What the home blood pressure gateway sends and serves",
   "status": "active",
   "experimental": false,
   "date": "2026-11-25",
   "description": "As a client it posts one transaction at a time to a clinic’s server, each resource by conditional create or update under an identifier of its own, so that sending again makes nothing twice. As a server it validates resources and serves its own definitions. It does not diagnose and is not an emergency service.",
   "kind": "capability",
   "software": {
    "name": "home-bp-gateway"
   },
   "fhirVersion": "4.0.1",
   "format": [
    "application/fhir+json",
    "json"
   ],
   "rest": [
    {
     "mode": "client",
     "documentation": "All of it in transactions. It reads nothing from the clinic’s server and searches only by what stands in them.",
     "resource": [
      {
       "type": "Observation",
       "supportedProfile": [
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-reading",
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-pulse",
        "https://home-bp-gateway.example/fhir/StructureDefinition/monitor-status",
        "https://home-bp-gateway.example/fhir/StructureDefinition/period-average",
        "https://home-bp-gateway.example/fhir/StructureDefinition/recording-average",
        "https://home-bp-gateway.example/fhir/StructureDefinition/attention"
       ],
       "interaction": [
        {
         "code": "create"
        },
        {
         "code": "update"
        }
       ],
       "conditionalCreate": true,
       "conditionalUpdate": true,
       "searchParam": [
        {
         "name": "identifier",
         "type": "token"
        }
       ]
      },
      {
       "type": "Device",
       "supportedProfile": [
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-monitor"
       ],
       "interaction": [
        {
         "code": "create"
        }
       ],
       "conditionalCreate": true,
       "searchParam": [
        {
         "name": "identifier",
         "type": "token"
        }
       ]
      },
      {
       "type": "Provenance",
       "supportedProfile": [
        "https://home-bp-gateway.example/fhir/StructureDefinition/submission-provenance",
        "https://home-bp-gateway.example/fhir/StructureDefinition/average-provenance"
       ],
       "interaction": [
        {
         "code": "create"
        }
       ],
       "conditionalCreate": true,
       "searchParam": [
        {
         "name": "_tag",
         "type": "token"
        }
       ]
      },
      {
       "type": "Patient",
       "documentation": "Never written: the patient is named by a conditional reference that must match exactly one.",
       "searchParam": [
        {
         "name": "identifier",
         "type": "token"
        }
       ]
      }
     ],
     "interaction": [
      {
       "code": "transaction"
      }
     ]
    },
    {
     "mode": "server",
     "documentation": "Validates what it is handed and keeps none of it. Serves its own definitions.",
     "resource": [
      {
       "type": "Observation",
       "supportedProfile": [
        "http://hl7.org/fhir/StructureDefinition/vitalsigns",
        "http://hl7.org/fhir/StructureDefinition/bp",
        "http://hl7.org/fhir/StructureDefinition/heartrate",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-vital-signs",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-blood-pressure",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-heart-rate",
        "http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure",
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-reading",
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-pulse",
        "https://home-bp-gateway.example/fhir/StructureDefinition/monitor-status",
        "https://home-bp-gateway.example/fhir/StructureDefinition/period-average",
        "https://home-bp-gateway.example/fhir/StructureDefinition/recording-average",
        "https://home-bp-gateway.example/fhir/StructureDefinition/attention"
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Bundle",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Patient",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Device",
       "supportedProfile": [
        "https://home-bp-gateway.example/fhir/StructureDefinition/home-monitor"
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "Provenance",
       "supportedProfile": [
        "https://home-bp-gateway.example/fhir/StructureDefinition/submission-provenance",
        "https://home-bp-gateway.example/fhir/StructureDefinition/average-provenance"
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "OperationOutcome",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "AuditEvent",
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "CapabilityStatement",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "CodeSystem",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "StructureDefinition",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      },
      {
       "type": "ValueSet",
       "interaction": [
        {
         "code": "read"
        },
        {
         "code": "search-type"
        }
       ],
       "searchParam": [
        {
         "name": "url",
         "type": "uri"
        }
       ],
       "operation": [
        {
         "name": "validate",
         "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
        }
       ]
      }
     ],
     "operation": [
      {
       "name": "validate",
       "definition": "http://hl7.org/fhir/OperationDefinition/Resource-validate"
      }
     ]
    }
   ]
  }
 },
 "readCodeSystem one": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "CodeSystem",
   "id": "home-bp-findings",
   "text": {
    "status": "generated",
    "div": "<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>Findings of the home blood pressure gateway</p><p>What is noticed about how a reading was taken and whether it can be true. It stands beside a value and never changes it. A concept is added, never changed or removed.</p></div>"
   },
   "url": "https://home-bp-gateway.example/fhir/CodeSystem/home-bp-findings",
   "version": "0.1.0",
   "name": "HomeBpFindings",
   "title": "Findings of the home blood pressure gateway",
   "status": "active",
   "experimental": false,
   "description": "What is noticed about how a reading was taken and whether it can be true. It stands beside a value and never changes it. A concept is added, never changed or removed.",
   "caseSensitive": true,
   "content": "complete",
   "count": 41,
   "concept": [
    {
     "code": "rest-too-short",
     "display": "Rest too short",
     "definition": "Less rest before measuring than guidance asks for."
    },
    {
     "code": "back-unsupported",
     "display": "Back unsupported",
     "definition": "Measured without support for the back."
    },
    {
     "code": "feet-not-flat",
     "display": "Feet not flat",
     "definition": "Measured without both feet flat on the floor."
    },
    {
     "code": "legs-crossed",
     "display": "Legs crossed",
     "definition": "Measured with crossed legs."
    },
    {
     "code": "arm-unsupported",
     "display": "Arm unsupported",
     "definition": "Measured without support for the arm with the cuff."
    },
    {
     "code": "cuff-below-heart",
     "display": "Cuff below the heart",
     "definition": "The cuff’s middle was below the heart."
    },
    {
     "code": "cuff-above-heart",
     "display": "Cuff above the heart",
     "definition": "The cuff’s middle was above the heart."
    },
    {
     "code": "cuff-over-clothing",
     "display": "Cuff over clothing",
     "definition": "The cuff was wrapped over a sleeve."
    },
    {
     "code": "cuff-too-small",
     "display": "Cuff too small",
     "definition": "The cuff is made for a thinner arm."
    },
    {
     "code": "cuff-too-large",
     "display": "Cuff too large",
     "definition": "The cuff is made for a thicker arm."
    },
    {
     "code": "cuff-edge-off",
     "display": "Cuff edge misplaced",
     "definition": "The cuff’s lower edge was not where guidance places it above the elbow."
    },
    {
     "code": "cuff-fit-off",
     "display": "Cuff too tight or too loose",
     "definition": "The cuff was tighter or looser than guidance asks for."
    },
    {
     "code": "talking",
     "display": "Talking",
     "definition": "Somebody talked while the reading was taken."
    },
    {
     "code": "moving",
     "display": "Moving",
     "definition": "The person moved while the reading was taken."
    },
    {
     "code": "bladder-full",
     "display": "Full bladder",
     "definition": "Measured with a full bladder."
    },
    {
     "code": "pain",
     "display": "Pain",
     "definition": "Measured while in pain."
    },
    {
     "code": "cold-exposure",
     "display": "Cold",
     "definition": "Measured in the cold or soon after it."
    },
    {
     "code": "caffeine-recent",
     "display": "Recent caffeine",
     "definition": "Measured soon after caffeine."
    },
    {
     "code": "nicotine-recent",
     "display": "Recent nicotine",
     "definition": "Measured soon after nicotine."
    },
    {
     "code": "alcohol-recent",
     "display": "Recent alcohol",
     "definition": "Measured soon after alcohol."
    },
    {
     "code": "exercise-recent",
     "display": "Recent exercise",
     "definition": "Measured soon after exercise."
    },
    {
     "code": "meal-recent",
     "display": "Recent meal",
     "definition": "Measured soon after a meal."
    },
    {
     "code": "after-medication",
     "display": "After medication",
     "definition": "Measured after the medication of the time of day was taken."
    },
    {
     "code": "not-seated",
     "display": "Not seated",
     "definition": "Not measured while sitting."
    },
    {
     "code": "wrist-site",
     "display": "At the wrist",
     "definition": "Measured at the wrist instead of the upper arm."
    },
    {
     "code": "clinic-setting",
     "display": "Not at home",
     "definition": "Measured in a clinic or at a public kiosk."
    },
    {
     "code": "gap-too-short",
     "display": "Gap too short",
     "definition": "Taken sooner after the reading before it than guidance asks for."
    },
    {
     "code": "monitor-body-movement",
     "display": "Monitor: movement",
     "definition": "The monitor reported movement of the body."
    },
    {
     "code": "monitor-cuff-too-loose",
     "display": "Monitor: cuff too loose",
     "definition": "The monitor reported a cuff that was too loose."
    },
    {
     "code": "monitor-irregular-pulse",
     "display": "Monitor: irregular pulse",
     "definition": "The monitor reported an irregular pulse."
    },
    {
     "code": "monitor-improper-position",
     "display": "Monitor: wrong position",
     "definition": "The monitor reported a wrong position of the body."
    },
    {
     "code": "pressure-missing",
     "display": "A pressure is missing",
     "definition": "The monitor gave no systolic or no diastolic pressure."
    },
    {
     "code": "systolic-doubtful",
     "display": "Systolic doubtful",
     "definition": "The systolic pressure is outside the plausible range."
    },
    {
     "code": "diastolic-doubtful",
     "display": "Diastolic doubtful",
     "definition": "The diastolic pressure is outside the plausible range."
    },
    {
     "code": "diastolic-zero",
     "display": "Diastolic of zero",
     "definition": "The sounds were heard until the cuff was empty."
    },
    {
     "code": "not-whole-mmhg",
     "display": "Not whole mmHg",
     "definition": "The reading came with a fraction of a mmHg, so it may be a computed value."
    },
    {
     "code": "pulse-pressure-doubtful",
     "display": "Pulse pressure doubtful",
     "definition": "The difference between systolic and diastolic is outside the plausible range."
    },
    {
     "code": "pulse-doubtful",
     "display": "Pulse doubtful",
     "definition": "The pulse is outside the plausible range."
    },
    {
     "code": "time-in-future",
     "display": "Time in the future",
     "definition": "The reading claims a time after it was received."
    },
    {
     "code": "time-of-receipt",
     "display": "Time of receipt",
     "definition": "The monitor had no clock: the time of the reading is when the app received it."
    },
    {
     "code": "readings-out-of-order",
     "display": "Readings out of order",
     "definition": "The readings of the sitting do not follow each other in time."
    }
   ]
  }
 },
 "readStructureDefinition one": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "StructureDefinition",
   "id": "measurement-setting",
   "text": {
    "status": "generated",
    "div": "<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>Where the measurement was taken</p><p>home, clinic, public-kiosk or ambulatory. R4 has no element for it.</p></div>"
   },
   "url": "https://home-bp-gateway.example/fhir/StructureDefinition/measurement-setting",
   "version": "0.1.0",
   "name": "MeasurementSetting",
   "title": "Where the measurement was taken",
   "status": "active",
   "experimental": false,
   "description": "home, clinic, public-kiosk or ambulatory. R4 has no element for it.",
   "fhirVersion": "4.0.1",
   "kind": "complex-type",
   "abstract": false,
   "context": [
    {
     "type": "element",
     "expression": "Observation"
    }
   ],
   "type": "Extension",
   "baseDefinition": "http://hl7.org/fhir/StructureDefinition/Extension",
   "derivation": "constraint",
   "differential": {
    "element": [
     {
      "id": "Extension",
      "path": "Extension",
      "short": "Where the measurement was taken",
      "definition": "home, clinic, public-kiosk or ambulatory. R4 has no element for it.",
      "max": "1"
     },
     {
      "id": "Extension.extension",
      "path": "Extension.extension",
      "max": "0"
     },
     {
      "id": "Extension.url",
      "path": "Extension.url",
      "fixedUri": "https://home-bp-gateway.example/fhir/StructureDefinition/measurement-setting"
     },
     {
      "id": "Extension.value[x]",
      "path": "Extension.value[x]",
      "min": 1,
      "type": [
       {
        "code": "code"
       }
      ],
      "binding": {
       "strength": "required",
       "valueSet": "https://home-bp-gateway.example/fhir/ValueSet/measurement-settings"
      }
     }
    ]
   }
  }
 },
 "readValueSet one": {
  "status": 200,
  "type": "application/fhir+json",
  "value": {
   "resourceType": "ValueSet",
   "id": "arms",
   "text": {
    "status": "generated",
    "div": "<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>Left or right</p></div>"
   },
   "url": "https://home-bp-gateway.example/fhir/ValueSet/arms",
   "version": "0.1.0",
   "name": "Arms",
   "title": "Left or right",
   "status": "active",
   "experimental": false,
   "description": "Left or right, as the home blood pressure gateway writes it.",
   "immutable": false,
   "compose": {
    "include": [
     {
      "system": "https://home-bp-gateway.example/fhir/CodeSystem/home-bp-gateway",
      "concept": [
       {
        "code": "left",
        "display": "Left"
       },
       {
        "code": "right",
        "display": "Right"
       }
      ]
     }
    ]
   }
  }
 },
 "readMetrics all": {
  "status": 200,
  "type": "text/plain"
 }
}
