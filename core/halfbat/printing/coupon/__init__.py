"""Coupons: small printed pieces that tell what a printer really does."""

from halfbat.printing.coupon.making import Coupon, make_coupon

__all__ = ["Coupon", "make_coupon"]
