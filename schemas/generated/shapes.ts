/* Written by `npm run generate` from the schemas. Do not edit. */
/** What may stand at a place: a value of a kind, keys, anything by name, or items. */
export interface Shape {
  readonly kind?: string;
  readonly keys?: Readonly<Record<string, Shape>>;
  readonly each?: Shape;
  readonly items?: Shape;
}
export interface DocumentShape {
  readonly top: Shape;
  /** Shapes by kind. */
  readonly kinds: Readonly<Record<string, Shape>>;
}
export const SHAPES: Readonly<Record<"procedure" | "equipment" | "answers", DocumentShape>> = {
  "procedure": {
    "top": {
      "keys": {
        "format": {},
        "language": {},
        "procedure": {
          "kind": "id"
        },
        "title": {
          "kind": "text"
        },
        "revision": {},
        "complaint": {
          "kind": "text"
        },
        "equipment": {
          "items": {
            "kind": "id"
          }
        },
        "tools": {
          "items": {
            "kind": "id"
          }
        },
        "hazards": {
          "kind": "hazards"
        },
        "certainty": {},
        "decide-at": {},
        "free-order": {},
        "facts": {
          "each": {
            "kind": "fact"
          }
        },
        "instruments": {
          "each": {
            "kind": "instrument"
          }
        },
        "specifications": {
          "each": {
            "kind": "specification"
          }
        },
        "cautions": {
          "each": {
            "kind": "caution"
          }
        },
        "set-ups": {
          "each": {
            "kind": "setUp"
          }
        },
        "faults": {
          "each": {
            "kind": "fault"
          }
        },
        "start": {
          "kind": "id"
        },
        "steps": {
          "each": {
            "kind": "step"
          }
        },
        "repairs": {
          "each": {
            "kind": "repair"
          }
        }
      }
    },
    "kinds": {
      "id": {},
      "reference": {},
      "text": {},
      "quantity": {},
      "expression": {},
      "share": {},
      "measureKind": {},
      "hazards": {
        "items": {}
      },
      "accuracy": {
        "keys": {
          "up-to": {
            "kind": "quantity"
          },
          "reading": {
            "kind": "quantity"
          },
          "counts": {},
          "resolution": {
            "kind": "quantity"
          },
          "full-scale": {
            "kind": "quantity"
          },
          "leads": {
            "kind": "quantity"
          }
        }
      },
      "instrument": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "accuracy": {
            "keys": {
              "voltage": {
                "kind": "accuracyList"
              },
              "current": {
                "kind": "accuracyList"
              },
              "resistance": {
                "kind": "accuracyList"
              },
              "power": {
                "kind": "accuracyList"
              },
              "charge": {
                "kind": "accuracyList"
              },
              "frequency": {
                "kind": "accuracyList"
              },
              "ratio": {
                "kind": "accuracyList"
              },
              "temperature": {
                "kind": "accuracyList"
              },
              "pressure": {
                "kind": "accuracyList"
              },
              "torque": {
                "kind": "accuracyList"
              },
              "length": {
                "kind": "accuracyList"
              },
              "volume": {
                "kind": "accuracyList"
              },
              "mass": {
                "kind": "accuracyList"
              },
              "time": {
                "kind": "accuracyList"
              },
              "speed": {
                "kind": "accuracyList"
              },
              "capacitance": {
                "kind": "accuracyList"
              }
            }
          }
        }
      },
      "accuracyList": {
        "keys": {
          "up-to": {
            "kind": "quantity"
          },
          "reading": {
            "kind": "quantity"
          },
          "counts": {},
          "resolution": {
            "kind": "quantity"
          },
          "full-scale": {
            "kind": "quantity"
          },
          "leads": {
            "kind": "quantity"
          }
        },
        "items": {
          "kind": "accuracy"
        }
      },
      "limit": {
        "keys": {
          "by": {
            "kind": "expression"
          },
          "table": {
            "items": {
              "items": {
                "kind": "quantity"
              }
            }
          }
        }
      },
      "specification": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "from": {
            "kind": "limit"
          },
          "over": {
            "kind": "limit"
          },
          "to": {
            "kind": "limit"
          },
          "under": {
            "kind": "limit"
          },
          "at": {
            "kind": "quantity"
          },
          "source": {
            "kind": "text"
          },
          "ask": {},
          "unit": {
            "kind": "text"
          },
          "limits": {
            "items": {}
          }
        }
      },
      "outcome": {},
      "picture": {
        "keys": {
          "file": {
            "kind": "text"
          },
          "alt": {
            "kind": "text"
          }
        }
      },
      "torque": {
        "keys": {
          "from": {
            "kind": "quantity"
          },
          "to": {
            "kind": "quantity"
          }
        }
      },
      "given": {
        "items": {}
      },
      "caution": {
        "keys": {
          "signal": {},
          "hazard": {
            "kind": "text"
          },
          "consequence": {
            "kind": "text"
          },
          "avoid": {
            "kind": "text"
          },
          "covers": {
            "kind": "hazards"
          },
          "acknowledge": {
            "kind": "text"
          }
        }
      },
      "setUp": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "do": {
            "kind": "text"
          },
          "minutes": {},
          "torque": {
            "kind": "torque"
          },
          "where": {
            "kind": "text"
          },
          "picture": {
            "kind": "picture"
          },
          "needs": {
            "items": {
              "kind": "id"
            }
          },
          "without": {
            "items": {
              "kind": "id"
            }
          },
          "cautions": {
            "items": {
              "kind": "id"
            }
          },
          "hazards": {
            "kind": "hazards"
          },
          "tools": {
            "items": {
              "kind": "id"
            }
          },
          "put-back": {
            "keys": {
              "do": {
                "kind": "text"
              },
              "minutes": {},
              "torque": {
                "kind": "torque"
              },
              "cautions": {
                "items": {
                  "kind": "id"
                }
              },
              "hazards": {
                "kind": "hazards"
              },
              "tools": {
                "items": {
                  "kind": "id"
                }
              },
              "where": {
                "kind": "text"
              },
              "picture": {
                "kind": "picture"
              }
            }
          }
        }
      },
      "fact": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "ask": {
            "kind": "text"
          },
          "choices": {
            "each": {
              "kind": "text"
            },
            "items": {
              "kind": "id"
            }
          },
          "measure": {
            "kind": "measureKind"
          },
          "unit": {
            "kind": "text"
          },
          "with": {
            "kind": "id"
          },
          "say": {
            "kind": "text"
          },
          "where": {
            "kind": "text"
          },
          "picture": {
            "kind": "picture"
          }
        }
      },
      "fault": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "prior": {},
          "repair": {
            "kind": "id"
          },
          "where": {
            "kind": "text"
          },
          "picture": {
            "kind": "picture"
          }
        }
      },
      "act": {
        "keys": {
          "say": {
            "kind": "text"
          },
          "torque": {
            "kind": "torque"
          },
          "cautions": {
            "items": {
              "kind": "id"
            }
          },
          "hazards": {
            "kind": "hazards"
          },
          "where": {
            "kind": "text"
          },
          "picture": {
            "kind": "picture"
          }
        }
      },
      "part": {
        "keys": {
          "part": {
            "kind": "text"
          },
          "quantity": {},
          "renew": {}
        }
      },
      "repair": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "minutes": {},
          "cost": {},
          "parts": {
            "items": {
              "kind": "part"
            }
          },
          "needs": {
            "items": {
              "kind": "id"
            }
          },
          "without": {
            "items": {
              "kind": "id"
            }
          },
          "tools": {
            "items": {
              "kind": "id"
            }
          },
          "cautions": {
            "items": {
              "kind": "id"
            }
          },
          "hazards": {
            "kind": "hazards"
          },
          "do": {
            "items": {
              "kind": "act"
            }
          }
        }
      },
      "arms": {
        "items": {
          "keys": {
            "if": {
              "kind": "expression"
            },
            "goto": {
              "kind": "id"
            }
          }
        }
      },
      "branch": {
        "keys": {
          "goto": {
            "kind": "id"
          },
          "then": {
            "kind": "arms"
          },
          "at-most": {},
          "else": {
            "kind": "id"
          }
        }
      },
      "answer": {
        "keys": {
          "label": {
            "kind": "text"
          },
          "goto": {
            "kind": "id"
          },
          "then": {
            "kind": "arms"
          },
          "at-most": {},
          "else": {
            "kind": "id"
          }
        }
      },
      "band": {
        "keys": {
          "label": {
            "kind": "text"
          },
          "from": {
            "kind": "limit"
          },
          "over": {
            "kind": "limit"
          },
          "to": {
            "kind": "limit"
          },
          "under": {
            "kind": "limit"
          },
          "goto": {
            "kind": "id"
          },
          "then": {
            "kind": "arms"
          },
          "at-most": {},
          "else": {
            "kind": "id"
          }
        }
      },
      "correct": {
        "keys": {
          "leads": {},
          "temperature": {
            "keys": {
              "ask": {
                "kind": "text"
              },
              "metal": {}
            }
          },
          "to": {
            "kind": "quantity"
          }
        }
      },
      "row": {
        "keys": {
          "reads": {}
        },
        "each": {
          "kind": "share"
        }
      },
      "step": {
        "keys": {
          "ask": {
            "kind": "text"
          },
          "measure": {
            "kind": "measureKind"
          },
          "do": {
            "kind": "text"
          },
          "call": {
            "kind": "id"
          },
          "conclude": {
            "items": {
              "kind": "reference"
            }
          },
          "end": {},
          "title": {
            "kind": "text"
          },
          "say": {
            "kind": "text"
          },
          "where": {
            "kind": "text"
          },
          "picture": {
            "kind": "picture"
          },
          "cautions": {
            "items": {
              "kind": "id"
            }
          },
          "hazards": {
            "kind": "hazards"
          },
          "needs": {
            "items": {
              "kind": "id"
            }
          },
          "without": {
            "items": {
              "kind": "id"
            }
          },
          "tools": {
            "items": {
              "kind": "id"
            }
          },
          "after": {
            "items": {
              "kind": "reference"
            }
          },
          "minutes": {},
          "wait": {
            "kind": "quantity"
          },
          "limit": {
            "kind": "quantity"
          },
          "answers": {
            "each": {
              "kind": "answer"
            }
          },
          "cannot": {
            "kind": "branch"
          },
          "done": {
            "kind": "branch"
          },
          "unit": {
            "kind": "text"
          },
          "reading-unit": {
            "kind": "text"
          },
          "with": {
            "kind": "id"
          },
          "correct": {
            "kind": "correct"
          },
          "plausible": {
            "keys": {
              "from": {
                "kind": "limit"
              },
              "over": {
                "kind": "limit"
              },
              "to": {
                "kind": "limit"
              },
              "under": {
                "kind": "limit"
              }
            }
          },
          "value": {
            "kind": "expression"
          },
          "decide-at": {},
          "bands": {
            "each": {
              "kind": "band"
            }
          },
          "specification": {
            "kind": "id"
          },
          "outcomes": {
            "keys": {
              "below": {
                "kind": "branch"
              },
              "within": {
                "kind": "branch"
              },
              "above": {
                "kind": "branch"
              }
            }
          },
          "borderline": {
            "kind": "branch"
          },
          "goto": {
            "kind": "id"
          },
          "then": {
            "kind": "arms"
          },
          "at-most": {},
          "else": {
            "kind": "id"
          },
          "evidence": {
            "each": {
              "kind": "row"
            }
          },
          "give": {
            "each": {
              "kind": "given"
            }
          },
          "set-ups": {
            "each": {
              "kind": "id"
            }
          },
          "returns": {
            "keys": {
              "fault-found": {
                "kind": "branch"
              },
              "no-fault-found": {
                "kind": "branch"
              },
              "referred": {
                "kind": "branch"
              },
              "unresolved": {
                "kind": "branch"
              }
            }
          },
          "verify": {
            "kind": "id"
          }
        }
      }
    }
  },
  "equipment": {
    "top": {
      "keys": {
        "format": {},
        "language": {},
        "equipment": {
          "kind": "id"
        },
        "title": {
          "kind": "text"
        },
        "facts": {
          "each": {
            "kind": "given"
          }
        },
        "specifications": {
          "each": {
            "kind": "specification"
          }
        },
        "instruments": {
          "each": {
            "kind": "instrument"
          }
        },
        "hazards": {
          "kind": "hazards"
        }
      }
    },
    "kinds": {
      "id": {},
      "text": {},
      "quantity": {},
      "expression": {},
      "hazards": {
        "items": {}
      },
      "accuracy": {
        "keys": {
          "up-to": {
            "kind": "quantity"
          },
          "reading": {
            "kind": "quantity"
          },
          "counts": {},
          "resolution": {
            "kind": "quantity"
          },
          "full-scale": {
            "kind": "quantity"
          },
          "leads": {
            "kind": "quantity"
          }
        }
      },
      "instrument": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "accuracy": {
            "keys": {
              "voltage": {
                "kind": "accuracyList"
              },
              "current": {
                "kind": "accuracyList"
              },
              "resistance": {
                "kind": "accuracyList"
              },
              "power": {
                "kind": "accuracyList"
              },
              "charge": {
                "kind": "accuracyList"
              },
              "frequency": {
                "kind": "accuracyList"
              },
              "ratio": {
                "kind": "accuracyList"
              },
              "temperature": {
                "kind": "accuracyList"
              },
              "pressure": {
                "kind": "accuracyList"
              },
              "torque": {
                "kind": "accuracyList"
              },
              "length": {
                "kind": "accuracyList"
              },
              "volume": {
                "kind": "accuracyList"
              },
              "mass": {
                "kind": "accuracyList"
              },
              "time": {
                "kind": "accuracyList"
              },
              "speed": {
                "kind": "accuracyList"
              },
              "capacitance": {
                "kind": "accuracyList"
              }
            }
          }
        }
      },
      "accuracyList": {
        "keys": {
          "up-to": {
            "kind": "quantity"
          },
          "reading": {
            "kind": "quantity"
          },
          "counts": {},
          "resolution": {
            "kind": "quantity"
          },
          "full-scale": {
            "kind": "quantity"
          },
          "leads": {
            "kind": "quantity"
          }
        },
        "items": {
          "kind": "accuracy"
        }
      },
      "limit": {
        "keys": {
          "by": {
            "kind": "expression"
          },
          "table": {
            "items": {
              "items": {
                "kind": "quantity"
              }
            }
          }
        }
      },
      "specification": {
        "keys": {
          "title": {
            "kind": "text"
          },
          "from": {
            "kind": "limit"
          },
          "over": {
            "kind": "limit"
          },
          "to": {
            "kind": "limit"
          },
          "under": {
            "kind": "limit"
          },
          "at": {
            "kind": "quantity"
          },
          "source": {
            "kind": "text"
          },
          "ask": {},
          "unit": {
            "kind": "text"
          },
          "limits": {
            "items": {}
          }
        }
      },
      "given": {
        "items": {}
      }
    }
  },
  "answers": {
    "top": {
      "keys": {
        "facts": {
          "each": {
            "items": {}
          }
        },
        "specifications": {
          "each": {
            "keys": {
              "from": {},
              "to": {},
              "over": {},
              "under": {},
              "source": {
                "kind": "text"
              }
            }
          }
        },
        "choices": {
          "items": {
            "keys": {
              "at": {
                "kind": "stepName"
              },
              "visit": {},
              "take": {
                "kind": "stepName"
              },
              "apart": {
                "items": {
                  "kind": "stepName"
                }
              },
              "after": {
                "items": {
                  "kind": "stepName"
                }
              }
            }
          }
        }
      },
      "each": {
        "kind": "entry"
      }
    },
    "kinds": {
      "text": {},
      "stepName": {},
      "entry": {
        "keys": {
          "reading": {},
          "leads": {},
          "temperature": {},
          "wait": {},
          "answer": {},
          "reason": {
            "kind": "text"
          }
        },
        "items": {
          "kind": "visit"
        }
      },
      "visit": {
        "keys": {
          "reading": {},
          "leads": {},
          "temperature": {},
          "wait": {},
          "answer": {},
          "reason": {
            "kind": "text"
          }
        }
      }
    }
  }
};
/** The keys that each kind of step may have. */
export const STEP_KEYS: Readonly<Record<string, readonly string[]>> = {
  "ask": [
    "ask",
    "title",
    "say",
    "where",
    "picture",
    "cautions",
    "hazards",
    "needs",
    "without",
    "tools",
    "after",
    "minutes",
    "wait",
    "limit",
    "answers",
    "cannot",
    "evidence"
  ],
  "measure": [
    "measure",
    "title",
    "say",
    "where",
    "picture",
    "cautions",
    "hazards",
    "needs",
    "without",
    "tools",
    "after",
    "minutes",
    "wait",
    "limit",
    "cannot",
    "unit",
    "reading-unit",
    "with",
    "correct",
    "plausible",
    "value",
    "decide-at",
    "bands",
    "specification",
    "outcomes",
    "borderline",
    "goto",
    "then",
    "at-most",
    "else",
    "evidence"
  ],
  "do": [
    "do",
    "title",
    "say",
    "where",
    "picture",
    "cautions",
    "hazards",
    "needs",
    "without",
    "tools",
    "after",
    "minutes",
    "wait",
    "limit",
    "cannot",
    "done"
  ],
  "call": [
    "call",
    "title",
    "say",
    "where",
    "picture",
    "cautions",
    "hazards",
    "needs",
    "without",
    "tools",
    "after",
    "give",
    "set-ups",
    "returns"
  ],
  "conclude": [
    "conclude",
    "title",
    "say",
    "where",
    "picture",
    "cautions",
    "hazards",
    "needs",
    "without",
    "tools",
    "after",
    "goto",
    "then",
    "at-most",
    "else",
    "verify"
  ],
  "end": [
    "end",
    "title",
    "say",
    "where",
    "picture",
    "cautions",
    "hazards"
  ]
};
