import { openMemoryStore } from "../../../runner/store/memory-store.ts";
import { describeStore } from "./store-contract.ts";

describeStore("memory", openMemoryStore);
