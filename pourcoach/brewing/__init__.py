"""The trade's arithmetic: pour plans, strength and extraction, water, temperature, dialling in.

Pure functions on frozen values. Nothing here reads a file, asks the clock or prints.
"""
