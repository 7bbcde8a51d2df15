"""Asks the program's own ear where the sounds of each recording lie (see README.md beside this file).

    python3 listen.py words.jsonl   heard.jsonl  --program soundbead
    python3 listen.py single.jsonl  heard.jsonl  --program soundbead

Goes on where it stopped.
"""
import argparse
import json
import os
import subprocess


def question(entry):
    """The manifest's line of a recording: a word, or a sound held in its surroundings."""
    sounds = [name for name, _ in entry["pron"]]
    if "word" in entry:
        return {"id": entry["word"], "audio": f"words/{entry['word']}.wav", "word": entry["word"], "sounds": sounds}
    name = f"{entry['sound']}-{entry['v']}"
    return {"id": name, "audio": entry["audio"], "sounds": sounds, "speaking": "stretched"}


def main():
    """Reads the command line, asks and keeps the answers."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("recordings")
    parser.add_argument("heard")
    parser.add_argument("--program", required=True)
    args = parser.parse_args()
    known = set()
    if os.path.exists(args.heard):
        with open(args.heard, encoding="utf-8") as f:
            known = {json.loads(line)["id"] for line in f}
    with open(args.recordings, encoding="utf-8") as f:
        asked = [q for q in map(question, map(json.loads, f)) if q["id"] not in known]
    manifest = os.path.join(os.path.dirname(os.path.abspath(args.recordings)), "asked.jsonl")
    with open(manifest, "w", encoding="utf-8") as f:
        f.writelines(json.dumps(q) + "\n" for q in asked)
    with open(args.heard, "a", encoding="utf-8") as f:
        subprocess.run([args.program, "batch", manifest, "--json"], stdout=f, check=True)


if __name__ == "__main__":
    main()
