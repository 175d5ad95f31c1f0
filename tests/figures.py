"""Measures what the README prints, on a store that is filled with the demo company:

    cargo build --release && python3 tests/figures.py target/release/fairweather

Time to fill, time from start to the first page, resident memory, and the median time of the pages
that people wait for. Machines are noisy: medians of many, and the cost of the empty page beside them.
"""

import http.client
import json
import pathlib
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.parse

TIMES = 200


def start(program, data):
    began = time.perf_counter()
    arguments = [program, "serve", "--demo", "--data", data, "--listen", "127.0.0.1:0"]
    process = subprocess.Popen(arguments, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    port = None
    for line in process.stdout:
        found = re.search(r"http://127\.0\.0\.1:(\d+)", line)
        if found:
            port = int(found[1])
            break
    ask(port, "/sign-in")
    return process, port, time.perf_counter() - began


def ask(port, path, cookie="", body=None, connection=None):
    mine = connection or http.client.HTTPConnection("127.0.0.1", port)
    headers = {"Cookie": cookie, "Sec-Fetch-Site": "same-origin"}
    if body is not None:
        headers["Content-Type"] = "application/x-www-form-urlencoded"
        body = urllib.parse.urlencode(body)
    mine.request("GET" if body is None else "POST", path, body, headers)
    answer = mine.getresponse()
    text = answer.read().decode()
    if connection is None:
        mine.close()
    return answer, text


def sign_in(port, email):
    fields = {"email": email, "password": "warm days ahead"}
    answer, _ = ask(port, "/sign-in", body=fields)
    assert answer.status == 303, answer.status
    return answer.headers["Set-Cookie"].split(";")[0]


def median_ms(port, path, cookie):
    connection = http.client.HTTPConnection("127.0.0.1", port)
    took = []
    for _ in range(TIMES):
        began = time.perf_counter()
        answer, text = ask(port, path, cookie, connection=connection)
        took.append((time.perf_counter() - began) * 1000)
        assert answer.status == 200, (path, answer.status)
    return statistics.median(took), len(text)


def verdicts_ms(port, sheet, cookie):
    """What a phone asks as a hand pauses: everything judged anew, nothing kept."""
    connection = http.client.HTTPConnection("127.0.0.1", port)
    _, page = ask(port, sheet, cookie, connection=connection)
    author = first(r'data-person="([0-9a-f-]+)"', page)
    headers = {"Cookie": cookie, "Content-Type": "application/json", "Accept": "application/json",
               "Sec-Fetch-Site": "same-origin"}
    took = []
    for number in range(TIMES):
        drafts = {"as_found.suction_line_f": f"{50 + number / 20:.1f}"}
        body = json.dumps({"device": "figures", "author": author, "sent_ms": int(time.time() * 1000),
                           "base": 0, "entries": [], "drafts": drafts})
        began = time.perf_counter()
        connection.request("POST", sheet.replace("/sheet", "/entries"), body, headers)
        answer = connection.getresponse()
        answer.read()
        took.append((time.perf_counter() - began) * 1000)
        assert answer.status == 200, answer.status
    return statistics.median(took)


def memory_mb(process):
    status = pathlib.Path(f"/proc/{process.pid}/status").read_text(encoding="utf-8")
    return int(re.search(r"VmRSS:\s+(\d+)", status)[1]) / 1024


def first(pattern, text):
    return re.search(pattern, text)[1]


def main():
    program = sys.argv[1]
    with tempfile.TemporaryDirectory() as data:
        process, port, filled = start(program, data)
        process.terminate()
        process.wait()
        process, port, opened = start(program, data)
        try:
            owner = sign_in(port, "owner@example.com")
            technician = sign_in(port, "ansel@example.com")
            print(f"fill the empty store, to the first page   {filled:7.2f} s")
            print(f"start on the filled store, to the first   {opened:7.2f} s")
            _, today = ask(port, "/today", technician)
            _, sheets = ask(port, "/sheets-to-review", owner)
            _, due = ask(port, "/due", owner)
            visit = first(r'href="/visits/([0-9a-f-]{36})', sheets)
            _, handed = ask(port, f"/visits/{visit}", owner)
            system = first(r'href="/systems/([0-9a-f-]+)"', handed)
            sheet = first(r'href="(/visits/[0-9a-f-]+/sheet)"', today)
            pages = [
                ("health (the store is asked, no page)", "/health", owner),
                ("Today", "/today", technician),
                ("check sheet, all blocks", sheet, technician),
                ("system history", f"/systems/{system}", owner),
                ("one measure over the years", f"/systems/{system}/measures/superheat_f", owner),
                ("report", f"/visits/{visit}/report", owner),
                ("sheets to review", "/sheets-to-review", owner),
                ("a sheet beside last year's", f"/visits/{visit}/review", owner),
                ("Due", "/due", owner),
                ("Review", "/review", owner),
                ("Limit book", "/limit-book", owner),
                ("judging the whole history again, a look", "/judge-again", owner),
            ]
            assert "Due" in due
            base = None
            for name, path, cookie in pages:
                took, size = median_ms(port, path, cookie)
                base = base or took
                print(f"{name:40}  {took:7.2f} ms  {took / base:6.1f} × health  {size / 1000:7.1f} kB")
            took = verdicts_ms(port, sheet, technician)
            print(f"verdicts while typing, to the answer      {took:7.2f} ms  {took / base:6.1f} × health")
            print(f"resident memory after all that            {memory_mb(process):7.1f} MB")
        finally:
            process.terminate()
            process.wait()


main()
