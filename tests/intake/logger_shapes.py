"""Files as loggers and their programs write them, in the shapes that are met: all invented here.

Each says three readings, or more, of an autumn or winter in Lisbon, Berlin or Chicago.
"""

ISO_UTC = b"""timestamp,temperature_c,humidity
2026-01-05T10:00:00Z,12.5,61
2026-01-05T10:15:00Z,12.4,61.5
2026-01-05T10:30:00Z,12.2,62
"""
SEMICOLON_COMMA = """Zeit;Temperatur [°C];rel. Feuchte [%]
05.01.2026 10:00:00;12,5;61,0
05.01.2026 10:15:00;12,4;61,5
31.01.2026 10:30:00;12,2;62,0
""".encode("cp1252")
HALF_DAYS_FAHRENHEIT = """"Date","Temperature (°F)","RH (%)"
"1/5/2026 11:45:00 AM","54.5","61"
"1/5/2026 12:00:00 PM","54.3","61.5"
"1/13/2026 12:15:00 AM","54.0","62"
""".encode()
TABS_IN_UTF_16 = """Logger\tShed wall
Serial\t001122
Interval\t15 min

Nr.\tDate/Time\tTemp\tHumidity
1\t2026-01-05 10:00:00\t12.5 °C\t61.0 %
2\t2026-01-05 10:15:00\t12.4 °C\t61.5 %
3\t2026-01-05 10:30:00\t-- \t--
4\t2026-01-05 10:45:00\t12.2 °C\t62.0 %
""".encode("utf-16")
DATE_AND_TIME_APART = b"""Date;Time;T1;RH1
2026-01-05;10:00;12.5;61
2026-01-05;10:15;12.4;61.5
2026-01-05;10:30;12.2;62
"""
EPOCH = b"""time,temp,rh
1767607200,12.5,61
1767608100,12.4,61.5
1767609000,12.2,62
"""
EPOCH_MS_NO_HEAD = b"""1767607200000|12.5
1767608100000|12.4
1767609000000|12.2
"""
OFFSET_IN_HEAD = """"Plot title: shed"
"#","Date Time, GMT-06:00","Temp, °C","Battery, V"
1,01/05/26 10:00:00 AM,12.5,3.05
2,01/05/26 10:15:00 AM,12.4,3.05
3,01/25/26 10:30:00 PM,12.2,3.04
""".encode()
OWN_OFFSETS = b"""when\ttemp_c
2026-01-05T11:00:00+01:00\t12.5
2026-01-05T11:15:00+01:00\t12.4
2026-01-05T11:30:00+01:00\t12.2
"""
NEWEST_FIRST = b"""sep=;
time;temperature;humidity;dew point
2026/01/05 10:30;12.2;62;5.2
2026/01/05 10:15;12.4;61.5;5.2
2026/01/05 10:00;12.5;61;5.2
"""
NAMED_MONTHS = b"""Time,Celsius(C),Humidity(%rh)
05-Jan-2026 10:00,12.5,61
05-Jan-2026 10:15,12.4,61.5
05-Jan-2026 10:30,12.2,62
"""
NO_HEAD = b"""2026-01-05 10:00:00, 12.5, 61
2026-01-05 10:15:00, 12.4, 61.5
2026-01-05 10:30:00, 12.2, 62
"""
EITHER_ORDER = b"""date,temp
03/04/2026 10:00,12.5
03/04/2026 10:15,12.4
03/04/2026 10:30,12.2
"""
