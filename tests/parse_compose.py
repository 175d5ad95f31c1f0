"""Reads docker-compose.yml and says what is missing: it is parse-checked here, not run."""

import sys

import yaml

with open(sys.argv[1], encoding="utf-8") as file:
    compose = yaml.safe_load(file)
services = compose["services"]
assert set(services) == {"fairweather", "postgres", "https"}, set(services)
for name, service in services.items():
    assert "healthcheck" in service, f"{name} has no health check"
    for volume in service.get("volumes", []):
        source = volume.split(":")[0]
        assert source.startswith("./") or source in compose["volumes"], f"{name}: {source} is not named"
assert "dockerfile_inline" in services["fairweather"]["build"]
print("docker-compose.yml parses; it was not run.")
