"""The societies that cue sheets name most, by their CISAC codes.

Source of codes and names: CISAC CWR08-3615R1 lookup table, Societies Codes. Countries: from memory.
"""

from django.db import migrations

SOCIETIES = (
    ("010", "ASCAP", "US"),
    ("021", "BMI", "US"),
    ("071", "SESAC", "US"),
    ("778", "GMR", "US"),
    ("017", "AMRA", "US"),
    ("786", "ALLTRACK", "US"),
    ("034", "HFA", "US"),
    ("052", "PRS", "GB"),
    ("044", "MCPS", "GB"),
    ("101", "SOCAN", "CA"),
    ("088", "CMRRA", "CA"),
    ("058", "SACEM", "FR"),
    ("068", "SDRM", "FR"),
    ("035", "GEMA", "DE"),
    ("008", "APRA", "AU"),
    ("012", "AMCOS", "AU"),
    ("079", "STIM", "SE"),
    ("040", "KODA", "DK"),
    ("090", "TONO", "NO"),
    ("089", "TEOSTO", "FI"),
    ("048", "NCB", "DK"),
    ("074", "SIAE", "IT"),
    ("072", "SGAE", "ES"),
    ("080", "SUISA", "CH"),
    ("005", "AKM", "AT"),
    ("011", "AUME", "AT"),
    ("055", "SABAM", "BE"),
    ("023", "BUMA", "NL"),
    ("097", "ZAIKS", "PL"),
    ("038", "JASRAC", "JP"),
    ("128", "IMRO", "IE"),
    ("063", "SAMRO", "ZA"),
    ("036", "IPRS", "IN"),
    ("093", "UBC", "BR"),
    ("118", "KOMCA", "KR"),
    ("119", "MCSC", "CN"),
    ("001", "ACUM", "IL"),
    ("099", "No society", ""),
)


def add_societies(apps, schema_editor):
    society = apps.get_model("supervision", "Society")
    for code, name, country in SOCIETIES:
        society.objects.get_or_create(code=code, defaults={"name": name, "country": country})


class Migration(migrations.Migration):
    dependencies = [("supervision", "0001_the_house")]

    # What people added or renamed since stays when one goes back.
    operations = [migrations.RunPython(add_societies, migrations.RunPython.noop)]
